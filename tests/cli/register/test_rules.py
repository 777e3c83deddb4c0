"""The rule book at the keyboard."""

import re

import pytest

from obslog.club.register.rule_book import RULES
from tests.cli.program import Program


def value_shown(out: str, rule: str) -> list[str]:
    """The words of a rule's row after its name."""
    (row,) = [line for line in out.splitlines() if re.match(rf"\s*{rule}\s", line)]
    return row.split()[1:]


def test_every_rule_with_a_value_is_shown_and_the_others_in_short(in_club: Program) -> None:
    answer = in_club.must("rule", "list")
    for name, rule in RULES.items():
        if rule.default is not None:
            assert value_shown(answer.out, name)[0] == f"{rule.default:g}"
    assert "No value until one is set: loan-days-01 to loan-days-12" in answer.err


def test_a_rule_is_set_shown_as_changed_and_set_back(in_club: Program) -> None:
    assert value_shown(in_club.must("rule", "set", "due-soon-days", "3").out, "due-soon-days")[:3] == [
        "3",
        "days",
        "yes",
    ]
    in_club.must("rule", "set", "loan-days-03", "56")
    answer = in_club.must("rule", "list")
    assert value_shown(answer.out, "loan-days-03")[0] == "56"
    assert "loan-days-01 to loan-days-12" in answer.err  # of the series some are still without a value
    back = value_shown(in_club.must("rule", "reset", "due-soon-days").out, "due-soon-days")
    assert back[0] == "7"
    assert "yes" not in back[:3]
    assert in_club.must("undo").code == 0
    assert value_shown(in_club.must("rule", "list").out, "due-soon-days")[0] == "3"


@pytest.mark.parametrize(
    "words", [("set", "due-soon-days", "-1"), ("set", "due-soon-day", "3"), ("set", "due-soon-days", "soon")]
)
def test_wrong_input_is_said_in_two_lines_and_changes_nothing(
    in_club: Program, words: tuple[str, ...]
) -> None:
    answer = in_club("rule", *words)
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert not any(rule["own"] for rule in in_club.document("rule", "list"))
