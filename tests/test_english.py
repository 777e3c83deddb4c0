"""How numbers and lists of names are said."""

import pytest

from obslog.english import capitalised, enumerated


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ([], ""),
        (["Heron"], "Heron"),
        (["Heron", "Anvil"], "Heron and Anvil"),
        (("Heron", "Anvil", "Kelp"), "Heron, Anvil and Kelp"),
        (["Heron", "Anvil", "Kelp", "Plover"], "Heron, Anvil, Kelp and Plover"),
    ],
)
def test_names_are_said_with_an_and_before_the_last_alone(names: list[str], said: str) -> None:
    assert enumerated(names) == said


def test_a_sentence_begins_with_a_capital_and_the_rest_stays() -> None:
    assert capitalised("not sure: Heron") == "Not sure: Heron"
    assert capitalised("") == ""
