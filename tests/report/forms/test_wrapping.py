"""Text in lines: no line wider than its place, no word lost, an ellipsis where something is."""

from hypothesis import given
from hypothesis import strategies as st

from obslog.report.forms.signs import ELLIPSIS
from obslog.report.forms.wrapping import wrapped


def signs(line: str) -> float:
    """Every sign is one wide."""
    return len(line)


words = st.lists(st.text("abcd_", min_size=1, max_size=30), max_size=30).map(" ".join)


@given(words, st.integers(2, 40))
def test_no_line_is_too_wide_and_no_sign_is_lost(text: str, width: int) -> None:
    lines = wrapped(text, width, signs)
    assert max(map(len, lines)) <= width
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


@given(words, st.integers(2, 40), st.integers(1, 4))
def test_at_most_so_many_lines_and_an_ellipsis_where_it_goes_on(text: str, width: int, most: int) -> None:
    whole, lines = wrapped(text, width, signs), wrapped(text, width, signs, most)
    assert len(lines) <= most
    assert max(map(len, lines)) <= width
    if len(whole) <= most:
        assert lines == whole
    else:
        assert lines[-1].endswith(ELLIPSIS)
        assert lines[:-1] == whole[: most - 1]


def test_words_stay_whole_where_they_fit() -> None:
    assert wrapped("a quiet night", 7, signs) == ["a quiet", "night"]


def test_the_name_of_a_column_is_broken_behind_its_underscores() -> None:
    assert wrapped("offset_east_arcmin", 12, signs) == ["offset_east_", "arcmin"]


def test_ten_thousand_signs_are_cut_at_once() -> None:
    looked: list[str] = []

    def counting(line: str) -> float:
        looked.append(line)
        return len(line)

    assert wrapped("x" * 10_000, 20, counting, 2) == ["x" * 20, "x" * 19 + ELLIPSIS]
    assert len(looked) < 100


def test_a_sign_wider_than_its_place_still_ends() -> None:
    assert wrapped("abc", 0.5, signs) == ["a", "b", "c"]


def test_nothing_is_one_empty_line() -> None:
    assert wrapped("", 10, signs) == [""]
    assert wrapped("", 10, signs, 2) == [""]
