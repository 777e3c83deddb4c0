"""The rule book at the keyboard."""

import re
from collections.abc import Iterator

import pytest

from obslog.cli.register.rules import show_rules
from obslog.club.register.rule_book import RuleLine
from obslog.club.register.rule_table import RULES
from tests.cli.program import Program
from tests.cli.screens import Shown, screens, shown_by


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
    back = value_shown(in_club.must("rule", "reset", "due-soon-days").out, "due-soon-days")
    assert back[0] == "7"
    assert "yes" not in back[:3]
    assert in_club.must("undo").code == 0
    assert value_shown(in_club.must("rule", "list").out, "due-soon-days")[0] == "3"


COLUMNS = ("rule", "value", "changed", "meaning")
UNSET = "No value until one is set: "
DEPRECIATION = (
    "depreciation-years, depreciation-years-mounts, depreciation-years-tubes, depreciation-years-eyepieces, "
    "depreciation-years-items, depreciation-percent, depreciation-floor-percent"
)


def shown_rules(program: Program, *words: str) -> Iterator[Shown]:
    return screens(program.environment, program.now, "rule", *words)


def test_rules_stand_in_the_order_of_the_book_with_value_unit_and_meaning(in_club: Program) -> None:
    in_force = [(name, rule) for name, rule in RULES.items() if rule.default is not None]
    for shown in shown_rules(in_club, "list"):
        rows = shown.rows(*COLUMNS)
        assert [row["rule"] for row in rows] == [name for name, _ in in_force]
        assert [row["meaning"] for row in rows] == [rule.meaning for _, rule in in_force]
        assert {row["changed"] for row in rows} == {"no"}
        told = {row["rule"]: row["value"] for row in rows}
        assert told["loan-days"] == "28 days"
        assert told["fewest-setups"] == "6 set-ups"
        assert told["bad-name"] == "1.25 times"
        assert told["scatter-service"] == "5 arcmin"
        assert told["overdue-out"] == "0 days"
        assert told["beginner-weight-kg"] == "12 kg"
        assert told["battery-percent"] == "60 %"
        assert shown.notes == f"{UNSET}loan-days-01 to loan-days-12, {DEPRECIATION}, currency"


def test_what_is_set_has_a_row_and_is_not_among_those_without_a_value(in_club: Program) -> None:
    for name, value in (("03", "1"), ("04", "365"), ("12", "20")):
        in_club.must("rule", "set", f"loan-days-{name}", value)
    in_club.must("rule", "set", "currency", "eur")
    for shown in shown_rules(in_club, "list"):
        rows = {row["rule"]: row for row in shown.rows(*COLUMNS)}
        assert [(rows[name]["value"], rows[name]["changed"]) for name in rows if rows[name]["changed"] == "yes"] == [
            ("1 day", "yes"), ("365 days", "yes"), ("20 days", "yes"), ("EUR", "yes"),
        ]  # fmt: skip
        assert rows["loan-days-03"]["meaning"] == "how long a loan lasts that begins in month 03"
        assert list(rows)[-1] == "currency"
        assert (
            shown.notes
            == f"{UNSET}loan-days-01 to loan-days-02, loan-days-05 to loan-days-11, {DEPRECIATION}"
        )
    for month in range(5, 12):
        in_club.must("rule", "set", f"loan-days-{month:02}", "30")
    for month in (1, 6):
        in_club.must("rule", "reset", f"loan-days-{month:02}")
    for shown in shown_rules(in_club, "list"):
        assert shown.notes == f"{UNSET}loan-days-01 to loan-days-02, loan-days-06, {DEPRECIATION}"


@pytest.mark.parametrize(
    ("rule", "value", "told"),
    [
        ("fewest-setups", "2", "2 set-ups"), ("snag-days", "1", "1 day"), ("battery-percent", "1", "1 %"),
        ("alarms-watch", "12", "12 nights"), ("beginner-setups", "1", "1 set-up"), ("effect-watch", "1", "1 times"),
        ("growth-service", "2.25", "2.25 times"), ("beginner-aperture-mm", "203.2", "203.2 mm"),
    ],
)  # fmt: skip
def test_a_rule_that_was_set_is_shown_with_its_number_and_a_unit_that_agrees(
    in_club: Program, rule: str, value: str, told: str
) -> None:
    for shown in shown_rules(in_club, "set", rule, value):
        (row,) = shown.rows(*COLUMNS)
        assert [row["rule"], row["value"], row["changed"]] == [rule, told, "yes"]
        assert shown.notes == ""
    default = RULES[rule].default
    for shown in shown_rules(in_club, "reset", rule):
        (row,) = shown.rows(*COLUMNS)
        assert (row["value"].split()[0], row["changed"]) == (f"{default:g}", "no")


def test_a_rule_without_a_default_has_no_row_once_it_is_reset(in_club: Program) -> None:
    in_club.must("rule", "set", "currency", "EUR")
    for shown in shown_rules(in_club, "reset", "currency"):
        assert (shown.out, shown.notes) == ("", f"{UNSET}currency")


def an_unset(name: str) -> RuleLine:
    return RuleLine(name=name, value=None, own=False, default=None, unit="days", meaning="")


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["a-1", "a-2", "b-3"], "a-1 to a-2, b-3"), (["a-1", "a-3"], "a-1, a-3"), (["a", "a-1"], "a, a-1"),
        (["a-9", "a-10", "a"], "a-9 to a-10, a"), (["a-x", "a-1", "a-2"], "a-x, a-1 to a-2"),
        (["a-2", "a-1"], "a-2, a-1"), (["a-1", "a-x"], "a-1, a-x"),
    ],
)  # fmt: skip
def test_only_neighbours_of_one_series_are_told_as_its_ends(names: list[str], told: str) -> None:
    for shown in shown_by(lambda screen: show_rules(screen, [an_unset(name) for name in names])):
        assert (shown.out, shown.notes) == ("", f"{UNSET}{told}")


@pytest.mark.parametrize(
    "words",
    [
        ("set", "due-soon-days", "-1"), ("set", "due-son-days", "3"), ("set", "due-soon-days", "soon"),
        ("set", "loan-days", "20.5"), ("set", "fewest-observers", "2.1"), ("set", "alarms-watch", "nan"),
        ("set", "currency", "EURO"), ("set", "currency", "EU"), ("set", "currency", "E1R"), ("set", "currency", "ÄÖÜ"),
        ("set", "currency", ""),
    ],
)  # fmt: skip
def test_wrong_input_is_said_in_two_lines_and_changes_nothing(
    in_club: Program, words: tuple[str, ...]
) -> None:
    answer = in_club("rule", *words)
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert not any(rule["own"] for rule in in_club.document("rule", "list"))
