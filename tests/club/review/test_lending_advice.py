"""Which kit to lend, to whom: from kits, loans, waiting lists and set-ups on record to the advice and its reasons."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.register.named_records import add
from obslog.club.register.rule_book import set_rule
from obslog.club.review.lending_advice import NextLoan, advise_for, next_loans
from obslog.club.review.lending_suitability import Advice, Suitability
from obslog.club.review.verdicts import Status
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import part_goes_missing
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.waiting_list import reserve, withdraw
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.records.database import Database
from tests.club.performance.histories import Evening, put_on_record

TODAY = date(2026, 3, 2)
DAY = timedelta(days=1)
FIRST_OF_THE_YEAR = TODAY - timedelta(days=364)  # 365 days with today


@pytest.fixture
def kits(sqlite_club: Database, now: datetime) -> Database:
    """A box of eyepieces that weighs 3 kg, and nothing lent yet."""
    add_kit(sqlite_club, "Box", ["Wide 25", "dust cap"], now, weight_kg=3.0)
    return sqlite_club


def advice(database: Database, member: str = "Ines", kit: str = "Box", today: date = TODAY) -> Advice:
    return next(one for one in advise_for(database, member, today).kits if one.kit == kit)


def following(database: Database, kit: str = "Box", today: date = TODAY) -> NextLoan:
    return next(line for line in next_loans(database, today) if line.kit == kit)


def lent(database: Database, now: datetime, out: date, back: date | None, name: str = "Box") -> None:
    lend(database, name, "Bram Ostler", now, on=out, due=date(2026, 12, 31))
    if back is not None:
        take_back(database, name, now, on=back)


def test_a_kit_that_was_never_lent_is_advised_with_that_reason(kits: Database) -> None:
    assert advice(kits) == Advice(
        kit="Box",
        member="Ines",
        fit=Suitability.LEND,
        status=Status.READY,
        aperture_mm=None,
        weight_kg=3.0,
        reasons=["not lent in the last year"],
    )
    assert following(kits) == NextLoan(
        kit="Box", waiting=0, member=None, fit=None, reasons=["ready", "not lent in the last year"]
    )


@pytest.mark.parametrize(
    ("out", "back", "use"),
    [
        (FIRST_OF_THE_YEAR - 9 * DAY, FIRST_OF_THE_YEAR - DAY, "not lent in the last year"),
        (FIRST_OF_THE_YEAR - 9 * DAY, FIRST_OF_THE_YEAR, "lent on 1 day of the last year"),
        (FIRST_OF_THE_YEAR, FIRST_OF_THE_YEAR + DAY, "lent on 2 days of the last year"),
        (TODAY - 10 * DAY, TODAY - DAY, "lent on 10 days of the last year"),
    ],
)
def test_the_days_of_the_last_year_on_which_it_was_out_are_counted(
    kits: Database, now: datetime, out: date, back: date, use: str
) -> None:
    lent(kits, now, out, back)
    assert following(kits).reasons[-1] == use
    assert ("not lent in the last year" in advice(kits).reasons) is (use == "not lent in the last year")


def test_a_loan_of_a_part_alone_is_no_loan_of_the_kit(kits: Database, now: datetime) -> None:
    lent(kits, now, TODAY - 20 * DAY, TODAY - DAY, "Wide 25")
    assert following(kits).reasons[-1] == "not lent in the last year"


def test_what_is_out_is_not_to_be_lent_and_says_until_when(kits: Database, now: datetime) -> None:
    lent(kits, now, TODAY - DAY, None)
    one = advice(kits)
    assert (one.fit, one.status, one.reasons) == (
        Suitability.NOT_NOW,
        Status.OUT,
        ["on loan, due 2026-12-31"],
    )
    assert following(kits).reasons == ["out: on loan, due 2026-12-31", "lent on 2 days of the last year"]


def test_the_gravest_reason_of_the_review_is_told(kits: Database, now: datetime) -> None:
    part_goes_missing(kits, "Box", "dust cap", now)
    assert following(kits).reasons[0] == "watch: dust cap has been missing since 2026-03-02"
    assert advice(kits).fit is Suitability.WITH_HELP  # for a beginner
    add_service(kits, "eyepiece", "Wide 25", "cleaned", now, on=date(2026, 1, 5), bill=Bill(next_on=TODAY))
    due = "Wide 25: service is due on 2026-03-02; the last was on 2026-01-05: cleaned"
    assert following(kits).reasons[0] == f"service: {due}"
    assert (advice(kits).fit, advice(kits).reasons[0]) == (Suitability.NOT_NOW, due)


def test_of_a_kit_that_wants_a_part_the_advice_says_which(kits: Database, now: datetime) -> None:
    retire(kits, "eyepiece", "Wide 25", "fungus", TODAY, now)
    gone = "Wide 25 was retired on 2026-03-02; put another in its place: obslog kit replace"
    assert (advice(kits).status, advice(kits).reasons[0]) == (Status.WATCH, f"watch it: {gone}")
    assert following(kits).reasons[0] == f"watch: {gone}"


def test_a_retired_kit_is_advised_to_nobody(kits: Database, now: datetime) -> None:
    retire(kits, "kit", "Box", None, TODAY, now)
    assert next_loans(kits, TODAY) == []
    assert advise_for(kits, "Ines", TODAY).kits == []


def test_the_aperture_is_of_the_largest_tube_that_belongs_to_the_kit_today(
    kits: Database, now: datetime
) -> None:
    add(kits, "tube", "Short tube", {"aperture_mm": 80.0}, now)
    add(kits, "tube", "Odd tube", {}, now)
    add_kit(kits, "Tubes", ["Short tube", "Long tube", "Odd tube"], now)
    assert advice(kits, kit="Tubes").aperture_mm == 212.0
    assert "aperture of 212 mm is over the limit of 150 mm" in advice(kits, kit="Tubes").reasons[0]
    remove_part(kits, "Tubes", "Long tube", None, now)
    assert advice(kits, kit="Tubes").aperture_mm == 80.0
    remove_part(kits, "Tubes", "Short tube", None, now)
    assert advice(kits, kit="Tubes").aperture_mm is None
    assert advice(kits, kit="Box").aperture_mm is None


@pytest.mark.parametrize(("setups", "beginner"), [(0, True), (4, True), (5, False)])
def test_who_has_fewer_set_ups_than_the_clubs_number_is_a_beginner(
    kits: Database, setups: int, beginner: bool
) -> None:
    nights = [date(2025, 1, 5) + place * DAY for place in range(setups)]
    others = [Evening(date(2025, 2, 5) + place * DAY, [6.0], observer="Bram Ostler") for place in range(9)]
    put_on_record(kits, [*(Evening(night, [6.0]) for night in nights), *others])
    found = advise_for(kits, "ines", TODAY)
    assert (found.member, found.setups, found.beginner) == ("Ines", setups, beginner)


def test_an_overdue_loan_of_the_borrower_speaks_against_any_other(kits: Database, now: datetime) -> None:
    lend(kits, "Stop 20", "Ines", now, on=TODAY - 9 * DAY, due=TODAY - DAY)
    lend(kits, "Lead battery", "Ines", now, on=TODAY - 9 * DAY, due=TODAY)  # due today is not overdue
    assert advice(kits).reasons[0] == "the borrower has an overdue loan: Stop 20"
    assert advice(kits).fit is Suitability.NOT_NOW
    assert advice(kits, "Bram Ostler").fit is Suitability.LEND
    assert advice(kits, today=TODAY - DAY).fit is Suitability.LEND
    set_rule(kits, "overdue-out", 1, now)
    assert advice(kits).fit is Suitability.LEND


def test_the_first_who_waits_is_next_and_nobody_else(kits: Database, now: datetime) -> None:
    reserve(kits, "Box", "Bram Ostler", now)
    reserve(kits, "Box", "Ines", now + timedelta(minutes=1))
    line = following(kits)
    assert (line.waiting, line.member, line.fit) == (2, "Bram Ostler", Suitability.LEND)
    assert line.reasons == ["the borrower is first in its waiting list", "not lent in the last year"]
    (hidden,) = next_loans(kits, TODAY, with_names=False)
    assert (hidden.waiting, hidden.member, hidden.fit) == (2, None, Suitability.LEND)
    assert (advice(kits).fit, advice(kits).reasons[0]) == (
        Suitability.NOT_NOW,
        "somebody else is first in its waiting list",
    )
    withdraw(kits, "Box", "Bram Ostler", now)
    assert (following(kits).waiting, following(kits).member) == (1, "Ines")


def test_who_waits_for_an_item_of_the_same_name_does_not_wait_for_the_kit(
    kits: Database, now: datetime
) -> None:
    add(kits, "item", "Box", {"sort": "case"}, now)
    reserve(kits, "Box", "Ines", now, kind="item")
    assert (following(kits).waiting, following(kits).member) == (0, None)


def test_what_somebody_waits_for_comes_first_and_then_what_was_lent_least(
    kits: Database, now: datetime
) -> None:
    add_kit(kits, "Busy", ["Stop 20"], now)
    add_kit(kits, "Wanted", ["Lead battery"], now)
    lent(kits, now, TODAY - 9 * DAY, TODAY - DAY, "Busy")
    lent(kits, now, TODAY - 99 * DAY, TODAY - DAY, "Wanted")
    reserve(kits, "Wanted", "Ines", now)
    assert [line.kit for line in next_loans(kits, TODAY)] == ["Wanted", "Box", "Busy"]


def test_a_kit_is_judged_with_its_mount(kits: Database, now: datetime) -> None:
    """Two set-ups are too few for a verdict; nine by one person are not, but want somebody else's."""
    add_kit(kits, "Mount kit", ["Heron"], now, weight_kg=9.0)
    put_on_record(kits, [Evening(date(2026, 1, 5) + place * DAY, [6.0], mount="Heron") for place in range(2)])
    put_on_record(
        kits, [Evening(date(2026, 2, 5) + place * DAY, [6.0], mount="Bracken") for place in range(5)]
    )
    reasons = advice(kits, kit="Mount kit").reasons
    assert (
        "its mount has no verdict yet: its set-ups are too few, and an experienced borrower's tell most"
        in reasons
    )
    assert (
        following(kits, "Mount kit")
        .reasons[0]
        .startswith("watch: Heron: 2 set-ups with landings by 1 observer: too few")
    )
    put_on_record(kits, [Evening(date(2026, 1, 7) + place * DAY, [6.0], mount="Heron") for place in range(7)])
    reasons = advice(kits, kit="Mount kit").reasons
    assert "its mount has no verdict yet: it wants set-ups by somebody else" in reasons


def test_a_borrower_who_is_not_on_record_is_named(kits: Database) -> None:
    with pytest.raises(UnknownName, match="Nobody"):
        advise_for(kits, "Nobody", TODAY)
