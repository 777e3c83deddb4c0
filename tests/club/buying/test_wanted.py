"""What is concluded from evidence made by hand: each reason on both sides of its rule, the ranking, and the doubts."""

from dataclasses import replace
from datetime import datetime

import pytest

from obslog.club.buying.evidence import BuyingEvidence, Stock
from obslog.club.buying.wanted import (
    LendFirst,
    Purchases,
    Wanted,
    WhyWanted,
    not_replaced,
    purchases_wanted,
    weighed,
)
from obslog.club.register.rule_book import Rules
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.waiting_list import reserve
from obslog.records.database import Database
from tests.club.buying.records import days_ago, evidence_of, out_for, queue, stock

RULES = Rules({}, "EUR")
OUT = {"status": StoreStatus.OUT}


def gone(name: str, days: int, loans: int = 1, **changed: object) -> Stock:
    """Written off so many days ago, after so many loans in the month before."""
    return stock(
        name,
        status=StoreStatus.WRITTEN_OFF,
        written_off_on=days_ago(days),
        why="cracked",
        lent=[(days_ago(days + 30), days_ago(days + 29))] * loans,
        **changed,
    )


def lost(name: str, days: int, loans: int = 1) -> Stock:
    return stock(
        name,
        status=StoreStatus.MISSING,
        missing_since=days_ago(days),
        lent=[(days_ago(days + 30), days_ago(days + 29))] * loans,
    )


def found_in(evidence: BuyingEvidence, rules: Rules = RULES) -> list[Wanted]:
    return weighed(evidence, rules).wanted


def test_what_is_waited_for_and_out_is_wanted() -> None:
    wide = stock("Wide 25", value=80.0, loans=4, **OUT)
    (one,) = found_in(
        evidence_of(wide, queues=(queue("Wide 25", waiting=2, longest_days=41, went_without=1),))
    )
    assert one == Wanted(
        place=1,
        what="another eyepiece like Wide 25",
        like="Wide 25",
        category="eyepiece",
        why=[WhyWanted.WAITED_FOR],
        reasons=["2 members wait, the longest for 41 days; 3 members asked in two years, 1 went without"],
        doubts=[],
        sure=True,
        waiting=2,
        longest_wait_days=41,
        loans=4,
        costs=80.0,
    )


def test_who_waits_since_before_the_two_years_is_not_said_to_have_asked_in_them() -> None:
    long = queue("Wide 25", waiting=2, longest_days=1100, asked=3)
    (one,) = found_in(evidence_of(stock("Wide 25", **OUT), queues=(long,)))
    assert one.reasons == [
        "2 members wait, the longest for 1100 days; 3 members asked in two years or still wait"
    ]


def test_what_is_waited_for_and_lies_in_the_store_is_to_be_lent() -> None:
    found = weighed(evidence_of(stock("Wide 25"), queues=(queue("Wide 25", there=True),)), RULES)
    assert found.wanted == []
    assert found.lend_first == [LendFirst(what="Wide 25", waiting=1, longest_wait_days=10)]


@pytest.mark.parametrize(
    ("changed", "doubts"),
    [
        ({}, []),
        ({"asked": 2}, ["only 2 members asked in two years"]),
        ({"asked": 1}, ["only 1 member asked in two years"]),
        ({"asked": 1, "longest_days": 730}, ["only 1 member asked in two years or still waits"]),
        ({"asked": 2, "longest_days": 729}, ["only 2 members asked in two years"]),
        ({"due_on": days_ago(1)}, ["it is 1 day overdue: back in the store it may be enough"]),
    ],
)
def test_few_members_and_an_overdue_loan_make_it_doubtful(
    changed: dict[str, object], doubts: list[str]
) -> None:
    (one,) = found_in(evidence_of(stock("Wide 25", **OUT), queues=(queue("Wide 25", **changed),)))
    assert (one.doubts, one.sure) == (doubts, not doubts)
    assert found_in(
        evidence_of(stock("Wide 25", **OUT), queues=(queue("Wide 25", asked=1),)),
        Rules({"wanted-fewest-members": 1}),
    )[0].sure


def test_each_that_came_replaces_one_that_went_before() -> None:
    came = stock("New 20", acquired_on=days_ago(50))
    first, second, later = gone("First", 200), gone("Second", 100), gone("Later", 20)
    left = not_replaced(evidence_of(first, second, later, came), RULES)
    assert [one.name for one in left] == ["Second", "Later"]
    of_that_day = stock("Same day", acquired_on=days_ago(20))
    left = not_replaced(evidence_of(first, second, later, came, of_that_day), RULES)
    assert [one.name for one in left] == ["Later"]  # the first that went is the first that is replaced
    assert not_replaced(evidence_of(later, of_that_day), RULES) == []
    other = stock("A lamp", kind="item", category="lamp", acquired_on=days_ago(10))
    assert len(not_replaced(evidence_of(first, other), RULES)) == 1
    retired = replace(came, status=StoreStatus.RETIRED)
    assert len(not_replaced(evidence_of(first, retired), RULES)) == 1


def test_what_was_written_off_long_ago_is_not_asked_about_again() -> None:
    assert [one.what for one in found_in(evidence_of(gone("Old", 1095)))] == ["an eyepiece in place of Old"]
    assert found_in(evidence_of(gone("Old", 1096))) == []


def test_what_is_written_off_is_told_with_its_reason_and_its_last_year() -> None:
    (one,) = found_in(evidence_of(gone("Wide 25", 100, loans=2, value=80.0)))
    assert one.reasons == [f"written off on {days_ago(100)} (cracked), and not replaced"]
    assert (one.why, one.loans, one.sure, one.costs) == ([WhyWanted.GONE], 2, True, 80.0)
    (one,) = found_in(evidence_of(gone("Wide 25", 100, loans=0)))
    assert one.doubts == ["nobody borrowed it in the year before"]
    still_out = [(days_ago(600), days_ago(464))]  # the first of the 365 days that ended a hundred days ago
    (one,) = found_in(evidence_of(replace(gone("Wide 25", 100), lent=still_out)))
    assert (one.loans, one.doubts) == (0, [])
    back_before = [(days_ago(600), days_ago(465))]
    (one,) = found_in(evidence_of(replace(gone("Wide 25", 100), lent=back_before)))
    assert one.doubts == ["nobody borrowed it in the year before"]


def test_what_was_put_on_record_since_may_be_in_its_place() -> None:
    unknown = stock("New 20", acquired_on=None, since=days_ago(50))
    (one,) = found_in(evidence_of(gone("Wide 25", 100), unknown))
    assert one.doubts == ["1 eyepiece put on record since may be in its place"]
    batteries = [replace(unknown, name=name, kind="item", category="battery") for name in ("X", "Y")]
    old = gone("Old battery", 100, kind="item", category="battery")
    (one,) = found_in(evidence_of(old, *batteries))
    assert one.doubts == ["2 items of the category battery put on record since may be in its place"]
    older = replace(unknown, since=days_ago(101))
    assert found_in(evidence_of(gone("Wide 25", 100), older))[0].doubts == []


@pytest.mark.parametrize(("days", "is_wanted"), [(90, True), (89, False)])
def test_what_is_missing_is_wanted_when_it_is_missing_for_long(days: int, is_wanted: bool) -> None:
    found = weighed(evidence_of(lost("Wide 25", days)), RULES)
    assert (len(found.wanted), found.missing_lately) == (int(is_wanted), int(not is_wanted))
    if is_wanted:
        assert found.wanted[0].reasons == [f"missing since {days_ago(90)}, 90 days"]


def test_several_reasons_for_one_thing_are_one_purchase() -> None:
    wait = queue("Wide 25", due_on=None)
    (one,) = found_in(evidence_of(lost("Wide 25", 100), queues=(wait,)))
    assert (one.what, one.why) == (
        "an eyepiece in place of Wide 25",
        [WhyWanted.WAITED_FOR, WhyWanted.MISSING],
    )
    assert len(one.reasons) == 2
    (short,) = found_in(evidence_of(lost("Wide 25", 5), queues=(wait,)))
    assert short.doubts == ["missing for only 5 days: it may be found"]


def test_the_ranking_is_the_one_that_is_stated() -> None:
    found = found_in(
        evidence_of(
            stock("One waits long", loans=1, **OUT),
            stock("Two wait", **OUT),
            stock("One waits", loans=9, **OUT),
            gone("Written off, 1 loan", 30, kind="tube", category="tube"),
            gone("Written off, 2 loans", 30, loans=2, kind="tube", category="tube"),
            lost("Missing, 5 loans", 100, loans=5),
            stock("Box", kind="kit", category="kit", **out_for(365, 12)),
            queues=(
                queue("One waits long", longest_days=99),
                queue("Two wait", waiting=2, longest_days=1),
                queue("One waits", longest_days=98),
            ),
        )
    )
    assert [(one.place, one.what) for one in found] == [
        (1, "another eyepiece like Two wait"),
        (2, "another eyepiece like One waits long"),
        (3, "another eyepiece like One waits"),
        (4, "a tube in place of Written off, 2 loans"),
        (5, "a tube in place of Written off, 1 loan"),
        (6, "an eyepiece in place of Missing, 5 loans"),
        (7, "another Box"),
    ]


def test_costs_that_are_not_known_are_counted_and_in_no_sum() -> None:
    known = {"A": 0.1, "B": 0.0, "C": 0.2}
    valued = (gone(name, 9, value=value) for name, value in known.items())
    found: Purchases = weighed(evidence_of(*valued, gone("D", 9)), RULES)
    assert (found.costs, found.costs_unknown) == (0.3, 1)
    assert weighed(evidence_of(gone("C", 9)), RULES).costs is None


def test_it_is_read_from_the_records(club: Database, now: datetime) -> None:
    write_paper(club, "Wide 25", {"value": 80.0}, now)
    lend(club, "Wide 25", "Ines", now)
    reserve(club, "Wide 25", "Bram Ostler", now)
    found = purchases_wanted(club, now.date())
    assert [(one.what, one.waiting, one.costs) for one in found.wanted] == [
        ("another eyepiece like Wide 25", 1, 80.0)
    ]
    assert "Bram" not in str(found)
