"""What is nearly always in use, on either side of the club's rule, and what is said of few loans."""

import pytest

from obslog.club.buying.evidence import BuyingEvidence
from obslog.club.buying.much_used import much_used
from obslog.club.register.rule_book import Rules
from tests.club.buying.records import days_ago, evidence_of, out_for, stock

RULES = Rules({})  # 75 % of the time, 5 loans


def told(found: BuyingEvidence, rules: Rules = RULES) -> list[tuple[list[str], str, list[str]]]:
    return [
        ([one.name for one in of_it], reason, doubts) for of_it, reason, doubts in much_used(found, rules)
    ]


@pytest.mark.parametrize(("days", "is_much"), [(300, True), (299, False)])
def test_the_rule_is_met_at_its_share_and_not_below(days: int, is_much: bool) -> None:
    found = told(evidence_of(stock("Box", kind="kit", category="kit", **out_for(days, 6, of=400))))
    assert bool(found) is is_much  # 300 of 400 days are 75 %
    if is_much:
        assert found == [(["Box"], "out on 300 of 400 days (75 %) in 6 loans", [])]


def test_items_of_a_category_count_together_and_those_in_kits_do_not() -> None:
    found = told(
        evidence_of(
            stock("A", **out_for(365, 4)),
            stock("B", **out_for(219, 3)),
            stock("C", loose=False),
            stock("Lamp", kind="item", category="lamp"),
        )
    )
    # 365 + 219 of 730 days: 80 %. With C, in its kit and never lent, it would be 53 %.
    assert found == [(["A", "B"], "out on 584 of 730 days (80 %) in 7 loans, 2 eyepieces together", [])]


def test_a_word_for_a_category_is_put_into_no_plural() -> None:
    batteries = [stock(name, kind="item", category="battery", **out_for(300, 4)) for name in ("A", "B")]
    (line,) = told(evidence_of(*batteries))
    assert line[1] == "out on 600 of 730 days (82 %) in 8 loans, 2 items of the category battery together"


def test_a_few_loans_and_a_short_time_are_said_to_be_few() -> None:
    (line,) = told(evidence_of(stock("A", **out_for(80, 1, of=100))))
    assert line[2] == ["1 loan in a year is few", "there to be lent for only 100 days"]
    (line,) = told(evidence_of(stock("A", **out_for(80, 1, of=100))), Rules({"wanted-fewest-loans": 1}))
    assert line[2] == ["there to be lent for only 100 days"]


def test_a_loan_that_began_before_the_year_is_one_in_which_it_was_out() -> None:
    """It was "out on 365 of 365 days (100 %) in 0 loans"; one that ended on the day before the year is none of it."""
    lent = [(days_ago(500), None), (days_ago(900), days_ago(365))]
    (line,) = told(evidence_of(stock("A", **out_for(365, 0) | {"lent": lent})))
    assert line == (["A"], "out on 365 of 365 days (100 %) in 1 loan", ["1 loan in a year is few"])


def test_of_what_was_there_for_less_than_ninety_days_nothing_is_said() -> None:
    assert len(told(evidence_of(stock("A", **out_for(90, 9, of=90))))) == 1
    assert told(evidence_of(stock("A", **out_for(89, 9, of=89)))) == []


def test_nights_of_the_club_count_for_what_set_ups_name() -> None:
    mounts = [
        stock(name, kind="mount", category="mount", nights=nights) for name, nights in (("M", 20), ("N", 16))
    ]
    # 36 of 2 * 24 are 75 %.
    assert told(evidence_of(*mounts, nights=24)) == [
        (["M", "N"], "used on 36 of 48 nights (75 %), 2 mounts together", [])
    ]
    assert told(evidence_of(*mounts, nights=25)) == []
    lamp = stock("Lamp", kind="item", category="lamp", nights=24)
    assert told(evidence_of(lamp, nights=24)) == []
    (line,) = told(evidence_of(stock("E", nights=2), nights=2))
    assert line == (
        ["E"],
        "used on 2 of 2 nights (100 %)",
        ["2 nights in a year are few"],
    )


def test_of_what_it_is_not_known_since_when_it_is_there_nothing_is_said() -> None:
    assert told(evidence_of(stock("A", days=None, loans=9))) == []
