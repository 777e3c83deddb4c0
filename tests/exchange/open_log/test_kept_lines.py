"""Lines below the words of a result are read back as what they were."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.exchange.open_log.kept_lines import HEAD, NAMES, with_kept_lines, without_kept_lines

PIECES = st.sampled_from(["a", " ", "\n", ":", '"', HEAD, f"\n{HEAD}\n", "\nrating: 3", "é"])
WORDS = st.lists(PIECES, max_size=8).map(lambda pieces: "".join(pieces).strip())
TOLD = st.dictionaries(st.sampled_from(NAMES), st.text(min_size=1, max_size=20))


@given(WORDS, TOLD)
def test_words_and_lines_are_the_same_again(words: str, told: dict[str, str]) -> None:
    assert without_kept_lines(with_kept_lines(words, told)) == (words, told)


def test_they_stand_below_the_words_for_people_to_read() -> None:
    assert with_kept_lines(
        "oval glow", {"rating": "4", "vision": "averted", "sketch": None}
    ).splitlines() == [
        "oval glow",
        "",
        "Not in the standard:",
        "vision: averted",
        "rating: 4",
    ]
    assert with_kept_lines("oval glow", {"rating": None}) == "oval glow"


@pytest.mark.parametrize("text", ["oval", f"{HEAD}\nthe weather was fine", f"{HEAD}\nrating: 3\nrating: 4"])
def test_a_text_that_does_not_end_with_such_lines_is_all_words(text: str) -> None:
    assert without_kept_lines(text) == (text, {})
