"""The rule book: defaults are in force until the club sets its own number, within the ends of what it may be."""

from datetime import datetime
from math import inf, nan

import pytest

from obslog.club.register.named_records import add
from obslog.club.register.rule_book import NotWhole, Rules, TwoWays, list_rules, rules_in_force, set_rule
from obslog.club.register.rule_table import CURRENCY, RULES
from obslog.club.register.undo import undo
from obslog.errors import OutOfRange, UnknownName
from obslog.records.database import Database


def in_force(database: Database, name: str) -> float | None:
    with database.read() as session:
        return rules_in_force(session).get(name)


def test_the_default_is_in_force_until_the_club_sets_its_own_and_again_after(
    club: Database, now: datetime
) -> None:
    assert in_force(club, "due-soon-days") == 7
    assert set_rule(club, "due-soon-days", 10, now).own is True
    assert set_rule(club, "due-soon-days", 3, now).value == 3
    assert in_force(club, "due-soon-days") == 3
    back = set_rule(club, "due-soon-days", None, now)
    assert (back.value, back.own) == (7, False)
    assert in_force(club, "due-soon-days") == 7


def test_a_default_of_the_clubs_own_choosing_is_still_its_own(club: Database, now: datetime) -> None:
    set_rule(club, "loan-days", RULES["loan-days"].default, now)
    assert [line.name for line in list_rules(club) if line.own] == ["loan-days"]


def test_setting_a_rule_is_undone_to_the_number_before(club: Database, now: datetime) -> None:
    set_rule(club, "idle-days", 100, now)
    set_rule(club, "idle-days", 200, now)
    assert undo(club, now) == "set the rule idle-days"
    assert in_force(club, "idle-days") == 100


def test_the_list_has_every_rule_in_the_order_of_the_book_and_the_currency_last(
    club: Database, now: datetime
) -> None:
    set_rule(club, "battery-percent", 50, now)
    lines = list_rules(club)
    assert [line.name for line in lines] == [*RULES, CURRENCY]
    assert {line.name: line.value for line in lines if line.own} == {"battery-percent": 50}


@pytest.mark.parametrize(("value", "allowed"), [(1, True), (3660, True), (0, False), (3661, False)])
def test_a_number_at_the_end_is_taken_and_one_beyond_refused(
    club: Database, now: datetime, value: float, allowed: bool
) -> None:
    if allowed:
        assert set_rule(club, "loan-days", value, now).value == value
        return
    with pytest.raises(OutOfRange, match="between 1 and 3660"):
        set_rule(club, "loan-days", value, now)
    assert in_force(club, "loan-days") == 28


@pytest.mark.parametrize("value", [nan, inf, -inf])
def test_what_is_no_number_is_refused(club: Database, now: datetime, value: float) -> None:
    with pytest.raises(OutOfRange):
        set_rule(club, "loan-days", value, now)


def test_an_unknown_rule_is_refused_with_the_nearest(club: Database, now: datetime) -> None:
    with pytest.raises(UnknownName, match="loan-dyas") as caught:
        set_rule(club, "loan-dyas", 3, now)
    assert "loan-days" in caught.value.hint


def test_a_loan_has_the_term_of_the_month_in_which_it_begins() -> None:
    rules = Rules({"loan-days": 21, "loan-days-06": 60, "loan-days-12": 5})
    assert [rules.loan_days(month) for month in (1, 6, 11, 12)] == [21, 60, 21, 5]
    assert Rules({}).loan_days(6) == 28


def test_a_club_writes_items_down_in_one_way(database: Database, now: datetime) -> None:
    set_rule(database, "depreciation-years", 10, now)
    with pytest.raises(TwoWays):
        set_rule(database, "depreciation-percent", 20, now)
    set_rule(database, "depreciation-years-mounts", 5, now)
    set_rule(database, "depreciation-years", None, now)
    set_rule(database, "depreciation-percent", 20, now)
    with pytest.raises(TwoWays):
        set_rule(database, "depreciation-years", 10, now)
    with pytest.raises(NotWhole):
        set_rule(database, "depreciation-years-mounts", 2.5, now)


def test_a_rule_of_a_category_is_set_listed_and_taken_back(database: Database, now: datetime) -> None:
    add(database, "item", "Pack", {"sort": "Power Pack"}, now)
    line = set_rule(database, "Depreciation-years-of-power pack", 5, now)
    assert (line.name, line.words, line.own) == ("depreciation-years-of-power-pack", "5 years", True)
    assert [line.name for line in list_rules(database) if line.own] == ["depreciation-years-of-power-pack"]
    with pytest.raises(TwoWays):
        set_rule(database, "depreciation-percent-of-power-pack", 20, now)
    with pytest.raises(OutOfRange):
        set_rule(database, "depreciation-years-of-power-pack", 101, now)
    set_rule(database, "depreciation-years-of-power-pack", None, now)
    set_rule(database, "depreciation-percent-of-power-pack", 20, now)
    assert {line.name: line.value for line in list_rules(database) if line.own} == {
        "depreciation-percent-of-power-pack": 20
    }


def test_a_rule_of_a_category_that_no_item_has_is_refused(database: Database, now: datetime) -> None:
    add(database, "item", "Pack", {"sort": "power pack"}, now)
    with pytest.raises(UnknownName, match="no category named 'power-pak'") as caught:
        set_rule(database, "depreciation-years-of-power-pak", 5, now)
    assert "power-pack" in caught.value.hint
