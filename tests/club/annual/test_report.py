"""The annual report on a small club whose year was laid out by hand: every figure is counted from the calendar below.

Out of the store-room: the Evening kit (Heron, Wide 25, a dust cap) 10 to 20 January with Ines, handed over on the
20th to Bram, back on the 30th; Long tube with Ines from 1 February, due on the 8th, back on the 18th; Stop 20 with Bram
from 1 March, due on the 15th and not back. The battery went missing from its kit on 11 February; found on the 21st.
"""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats
from sqlalchemy import event, select

from obslog.club.annual.report import BadPeriod, annual_report, period_of
from obslog.club.annual.report_records import AnnualReport, Money, Period, Use, money
from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.register.named_records import add
from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.kits import add_kit, replace_part
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.missing import part_goes_missing, part_is_found
from obslog.club.storeroom.retirement import retire, write_off
from obslog.club.storeroom.waiting_list import reserve, withdraw
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Equipment, Service
from obslog.records.tables.storeroom import Paper, ServiceBill
from obslog.times import FutureDate
from obslog.vocabulary.storeroom import Acquired, Condition
from tests.club.performance.histories import Evening, put_on_record
from tests.known import known
from tests.written_once import written_once

PERIOD = Period(date(2026, 1, 1), date(2026, 3, 31))  # 31 + 28 + 31 = 90 days
TODAY = date(2026, 4, 10)


def noon(month: int, day: int, year: int = 2026) -> datetime:
    return datetime(year, month, day, 12, tzinfo=UTC)


def paper(database: Database, name: str, **known: object) -> None:
    with database.write(noon(1, 1)) as session:
        thing = session.scalars(select(Equipment).where(Equipment.name == name)).one()
        found = session.scalar(select(Paper).where(Paper.equipment_id == thing.id))
        found = found or Paper(equipment_id=thing.id)
        for column, value in known.items():
            setattr(found, column, value)
        session.add(found)


@pytest.fixture
def year(database: Database) -> Database:
    """A club that put its things on record on 1 December, and its first quarter."""
    return written_once(database, first_quarter)


def first_quarter(database: Database) -> None:
    then = noon(12, 1, 2025)
    for member in ("Ines", "Bram Ostler", "Cleo Marsh"):
        add(database, "member", member, {}, then)
    for kind, name in (
        ("mount", "Heron"), ("tube", "Long tube"), ("eyepiece", "Wide 25"), ("eyepiece", "Stop 20"),
        ("item", "Lead battery"), ("item", "Old case"),
    ):  # fmt: skip
        add(database, kind, name, {}, then)
    add_kit(database, "Evening kit", ["Heron", "Wide 25", "dust cap"], then)
    add_kit(database, "Power kit", ["Lead battery"], then)
    lend(database, "Evening kit", "Ines", noon(1, 10), due=date(2026, 1, 17))
    reserve(database, "Evening kit", "Bram Ostler", noon(1, 12))
    hand_over(database, "Evening kit", "Bram Ostler", noon(1, 20), due=date(2026, 1, 27))
    renew(database, "Evening kit", noon(1, 25), until=date(2026, 2, 10))
    take_back(database, "Evening kit", noon(1, 30), conditions={"dust cap": (Condition.MISSING, None)})
    lend(database, "Long tube", "Ines", noon(2, 1), due=date(2026, 2, 8))
    take_back(database, "Long tube", noon(2, 18))
    lend(database, "Stop 20", "Bram Ostler", noon(3, 1), due=date(2026, 3, 15))
    part_goes_missing(database, "Power kit", "Lead battery", noon(2, 11))
    part_is_found(database, "Power kit", "Lead battery", noon(2, 21))
    reserve(database, "Stop 20", "Ines", noon(3, 5))
    reserve(database, "Stop 20", "Cleo Marsh", noon(3, 11))
    reserve(database, "Long tube", "Cleo Marsh", noon(2, 3))
    withdraw(database, "Long tube", "Cleo Marsh", noon(2, 9))
    retire(database, "item", "Old case", "mouldy", date(2026, 1, 20), noon(1, 20))
    paper(
        database, "Long tube", value=400.0, acquired=Acquired.BOUGHT, acquired_on=date(2026, 1, 5), cost=310.0
    )
    paper(database, "Wide 25", value=80.0, acquired=Acquired.GIFT, acquired_on=date(2026, 1, 6))
    paper(database, "Stop 20", value=60.0)


@pytest.fixture
def report(year: Database) -> AnnualReport:
    return annual_report(year, PERIOD, TODAY, with_names=True)


def used(report: AnnualReport, name: str) -> Use:
    return next(line for line in report.utilisation.lines if line.name == name)


@pytest.mark.parametrize(
    ("name", "days_out", "available", "missing", "loans"),
    [
        ("Evening kit", 21, 90, 0, 2),  # 10 to 30 January, the 20th once
        ("Heron", 21, 90, 0, 2),
        ("Long tube", 18, 90, 0, 1),  # on record since December, though acquired in January
        ("Stop 20", 31, 90, 0, 1),  # still out
        ("Lead battery", 0, 81, 9, 0),  # missing 12 to 20 February
        ("Old case", 0, 20, 0, 0),  # retired on 20 January
    ],
)
def test_days_out_of_days_available(
    report: AnnualReport, name: str, days_out: int, available: int, missing: int, loans: int
) -> None:
    line = used(report, name)
    assert (line.days_out, line.days_available, line.days_missing, line.loans) == (
        days_out, available, missing, loans,
    )  # fmt: skip
    assert_allclose(known(line.utilisation), days_out / available)


def test_all_things_together_and_those_that_never_moved(report: AnnualReport) -> None:
    use = report.utilisation
    assert (use.kits.days_out, use.kits.days_available) == (21, 180)
    assert (use.things.days_out, use.things.days_available) == (21 + 18 + 21 + 31, 90 * 4 + 81 + 20)
    assert [line.name for line in use.never_moved] == ["Lead battery", "Old case"]


def test_loans_borrowers_renewals_and_who_came_late(report: AnnualReport) -> None:
    loans = report.loans
    assert (loans.begun, loans.handed_over, loans.borrowers) == (4, 1, 2)
    assert (loans.out_before, loans.came_back, loans.out_at_end) == (0, 3, 1)
    assert (loans.renewals, loans.renewed_loans) == (1, 1)
    assert [(late.what, late.days_late, late.member) for late in loans.late] == [
        ("Long tube", 10, "Ines"),
        ("Evening kit", 3, "Ines"),
    ]
    assert loans.days_late == 13
    assert [(late.what, late.days_late) for late in loans.overdue_now] == [("Stop 20", 26)]


def test_days_of_grace_are_the_rule_books(year: Database) -> None:
    set_rule(year, "overdue-out", 5, noon(4, 1))
    loans = annual_report(year, PERIOD, TODAY, with_names=False).loans
    assert ([late.what for late in loans.late], loans.grace_days) == (["Long tube"], 5)


def test_a_later_period_sees_what_was_out_before_it(year: Database) -> None:
    loans = annual_report(year, Period(date(2026, 3, 10), date(2026, 3, 31)), TODAY, with_names=False).loans
    assert (loans.begun, loans.out_before, loans.out_at_end) == (0, 1, 1)


def test_waiting_lists_on_the_last_day_and_those_who_left_them(report: AnnualReport) -> None:
    waiting = report.waiting
    assert (waiting.waiting, waiting.longest_days) == (2, 26)  # 5 to 31 March
    assert [(queue.what, queue.waiting, queue.members) for queue in waiting.queues] == [
        ("Stop 20", 2, ["Ines", "Cleo Marsh"])
    ]
    assert (waiting.served, waiting.served_median_days, waiting.withdrawn) == (1, 8, 1)


def test_a_member_who_waits_for_two_items_is_one_who_waits(year: Database) -> None:
    reserve(year, "Evening kit", "Ines", noon(3, 20))  # who waits for Stop 20, as Cleo does
    waiting = annual_report(year, PERIOD, TODAY, with_names=False).waiting
    assert (waiting.members, waiting.waiting) == (2, 3)


def test_nobody_waited_fewer_than_no_days(year: Database) -> None:
    """Cleo asks on 20 March; on the 22nd the officer notes that she has had it since the 15th."""
    reserve(year, "Long tube", "Cleo Marsh", noon(3, 20))
    lend(year, "Long tube", "Cleo Marsh", noon(3, 22), on=date(2026, 3, 15))
    march = Period(date(2026, 3, 1), date(2026, 3, 31))
    waiting = annual_report(year, march, TODAY, with_names=False).waiting
    assert (waiting.served, waiting.served_median_days, waiting.served_longest_days) == (1, 0, 0)


def test_a_night_of_use_is_a_date_whatever_it_was_used_for(club: Database) -> None:
    """Heron at two sites on one date; Wide 25 in no set-up, but Ines looks through it on the next evening."""
    put_on_record(
        club, [Evening(date(2026, 2, 1), [1.0], site=site) for site in ("Mill Field", "Kestrel Ridge")]
    )
    start_night(club, "Mill Field", datetime(2026, 2, 2, 21, tzinfo=UTC))
    entry = ObservationEntry(eyepiece="Wide 25")
    record_observations(
        club, "M 42", entry, datetime(2026, 2, 2, 21, tzinfo=UTC), observers=["Ines"], mount="none", sure=True
    )
    report = annual_report(club, PERIOD, TODAY, with_names=False)
    assert (used(report, "Heron").nights, used(report, "Wide 25").nights) == (1, 1)


def test_what_was_lost_and_found(report: AnnualReport) -> None:
    lost = report.losses
    assert [(thing.name, thing.since, thing.found_on) for thing in lost.missing] == [
        ("Evening kit: dust cap", date(2026, 1, 30), None),
        ("Lead battery", date(2026, 2, 11), date(2026, 2, 21)),
    ]
    assert (lost.found, lost.given_up, lost.missing_value) == (
        1,
        0,
        Money(0, 0, 0),
    )  # the cap, a label, has no value


def test_a_label_that_was_replaced_is_missing_no_more(year: Database) -> None:
    """The cap went missing on 30 January: it counts as from before in a later period until another took its place."""
    february, march = Period(date(2026, 2, 1), date(2026, 2, 28)), Period(date(2026, 3, 3), date(2026, 3, 31))
    before = [
        annual_report(year, period, TODAY, with_names=False).losses.missing_from_before
        for period in (february, march)
    ]
    replace_part(year, "Evening kit", "dust cap", "new cap", noon(3, 2))
    after = [
        annual_report(year, period, TODAY, with_names=False).losses.missing_from_before
        for period in (february, march)
    ]
    assert (before, after) == ([1, 1], [1, 0])
    lost = annual_report(year, PERIOD, TODAY, with_names=False).losses
    assert [one.given_up_on for one in lost.missing] == [date(2026, 3, 2), None]
    assert (lost.given_up, lost.missing_value) == (1, Money(0, 0, 0))


def test_a_label_of_a_retired_kit_is_missing_no_more(year: Database) -> None:
    retire(year, "kit", "Evening kit", None, date(2026, 2, 10), noon(2, 10))
    later = Period(date(2026, 3, 1), date(2026, 3, 31))
    assert annual_report(year, later, TODAY, with_names=False).losses.missing_from_before == 0
    assert annual_report(year, PERIOD, TODAY, with_names=False).losses.given_up == 1


def test_what_was_written_off_after_the_period_is_not_told_to_be_missing_still(year: Database) -> None:
    part_goes_missing(year, "Evening kit", "Wide 25", noon(3, 20))
    write_off(year, "Wide 25", "stolen", noon(4, 8))
    lost = annual_report(year, PERIOD, TODAY, with_names=False).losses
    assert [(one.name, one.given_up_on) for one in lost.missing if one.kind == "eyepiece"] == [
        ("Wide 25", date(2026, 4, 8))
    ]
    assert (lost.given_up, lost.written_off, lost.missing_value) == (
        1,
        [],
        Money(0, 0, 0),
    )  # the cap, which has no value, is still


def test_a_write_off_counts_once_and_with_its_value(year: Database) -> None:
    part_goes_missing(year, "Evening kit", "Wide 25", noon(2, 20))
    paper(year, "Wide 25", written_off_on=date(2026, 3, 1))
    report = annual_report(year, PERIOD, TODAY, with_names=False)
    assert [(left.name, left.value) for left in report.losses.written_off] == [("Wide 25", 80)]
    assert "Wide 25" not in [lost.name for lost in report.losses.missing]
    line = used(report, "Wide 25")
    assert (line.days_available, line.days_missing) == (
        51,
        9,
    )  # to 20 February; missing 21 February to 1 March
    assert "missing" not in [held.where for held in report.holdings]


def test_what_came_and_what_went(report: AnnualReport) -> None:
    came = report.acquisitions
    assert [thing.name for thing in came.things] == ["Long tube", "Wide 25"]
    assert (came.cost, came.gifts) == (Money(310, 1, 0), 1)
    assert came.unknown_date == 3  # Heron, Stop 20 and the battery; the case is retired
    assert [(left.name, left.why) for left in report.retired] == [("Old case", "mouldy")]


def test_values_by_holder_count_the_unknown_ones(report: AnnualReport) -> None:
    held = {(held.where, held.holder): (held.things, held.value) for held in report.holdings}
    assert held == {
        ("store", None): (4, Money(480, 2, 2)),
        ("members", "Bram Ostler"): (1, Money(60, 1, 0)),
    }


def test_services_without_a_bill_have_an_unknown_cost(year: Database) -> None:
    for text in ("new belt", "cleaned"):
        add_service(
            year, "mount", "Heron", text, noon(3, 2), on=date(2026, 3, 1), mechanical=text == "new belt"
        )
    with year.write(noon(3, 2)) as session:
        first = session.scalars(select(Service).where(Service.text == "new belt")).one()
        session.add(ServiceBill(service_id=first.id, cost=35.0))
    services = annual_report(year, PERIOD, TODAY, with_names=False).services
    assert (services.services, services.mechanical, services.cost) == (2, 1, Money(35, 1, 1))


def test_nobody_is_named_unless_asked(year: Database) -> None:
    named, unnamed = (repr(annual_report(year, PERIOD, TODAY, with_names=names)) for names in (True, False))
    for name in ("Ines", "Bram Ostler", "Cleo Marsh"):
        assert name in named
        assert name not in unnamed


def test_a_club_of_nothing_has_a_report(database: Database) -> None:
    report = annual_report(database, PERIOD, TODAY, with_names=True)
    assert report.utilisation.things.utilisation is None
    assert report.waiting.longest_days is None
    assert report.services.cost == Money(0, 0, 0)


def test_the_number_of_statements_does_not_grow_with_the_store_room(year: Database) -> None:
    def statements() -> int:
        seen: list[str] = []

        def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
            seen.append(statement)

        event.listen(year.engine, "before_cursor_execute", note)
        annual_report(year, PERIOD, TODAY, with_names=True)
        event.remove(year.engine, "before_cursor_execute", note)
        return len(seen)

    few = statements()
    for number in range(30):
        add(year, "item", f"Cable {number}", {}, noon(1, 3))
        lend(year, f"Cable {number}", "Ines", noon(1, 4))
    assert statements() == few


def test_the_fleets_landing_error_is_set_against_as_many_days_before(club: Database) -> None:
    """One check at a distance r gives half = r sqrt(ln 2) by Rayleigh's law; intervals by scipy on the logarithms.

    The set-ups scatter more than each is known to, so that nothing else than their scatter counts.
    """
    before, now = np.array([3.0, 9, 10, 12, 15, 40]), np.array([5.0, 11, 13, 16, 18, 24, 30])
    days = (before, date(2025, 11, 1)), (now, date(2026, 2, 1))
    put_on_record(
        club, [Evening(first + timedelta(n), [r]) for part, first in days for n, r in enumerate(part)]
    )
    found = annual_report(club, PERIOD, TODAY, with_names=False)
    assert (found.nights.nights, found.nights.setups, found.nights.observers) == (7, 7, 1)
    landing = found.landing
    assert (landing.setups, landing.before_setups, landing.too_few) == (7, 6, None)
    for part, interval in ((now, landing.arcmin), (before, landing.before_arcmin)):
        logs = np.log(part * np.sqrt(np.log(2)))
        ends = stats.t.interval(0.95, part.size - 1, logs.mean(), stats.sem(logs))
        assert interval is not None
        told = (interval.value, known(interval.low), known(interval.high))
        assert_allclose(told, np.exp([logs.mean(), *ends]), rtol=1e-6)
    welch = stats.ttest_ind(np.log(now), np.log(before), equal_var=False).confidence_interval()
    assert landing.change is not None
    told_change = (known(landing.change.low), known(landing.change.high))
    assert_allclose(told_change, np.exp([welch.low, welch.high]), rtol=1e-6)


def test_few_setups_give_no_landing_error_and_say_so(club: Database) -> None:
    put_on_record(club, [Evening(date(2026, 2, 1) + timedelta(n), [10.0 + n]) for n in range(6)])
    landing = annual_report(club, PERIOD, TODAY, with_names=False).landing
    assert landing.arcmin is not None
    assert (landing.before_arcmin, landing.change) == (None, None)
    assert "0 in the period before, where at least 6 are needed" in str(landing.too_few)


def test_the_period_is_twelve_months_to_yesterday_unless_said(now: datetime) -> None:
    assert period_of(None, None, now.date(), now) == Period(date(2025, 3, 2), date(2026, 3, 1))
    leap = datetime(2024, 3, 1, 12, tzinfo=UTC)
    assert period_of(None, None, leap.date(), leap) == Period(date(2023, 3, 1), date(2024, 2, 29))
    assert PERIOD.before == Period(date(2025, 10, 3), date(2025, 12, 31))
    with pytest.raises(BadPeriod):
        period_of(date(2026, 3, 1), date(2026, 2, 1), now.date(), now)
    with pytest.raises(FutureDate):
        period_of(now.date() + timedelta(days=2), now.date() + timedelta(days=9), now.date(), now)


def test_a_year_has_365_days_or_366_where_one_of_them_is_the_29th_of_february() -> None:
    now = datetime(2033, 1, 1, 12, tzinfo=UTC)
    for number in range(9 * 365):
        last = date(2024, 1, 1) + timedelta(days=number)
        year = period_of(None, last, now.date(), now)
        leap_days = [date(leap, 2, 29) for leap in (2024, 2028, 2032)]
        assert year.days == 365 + sum(map(year.holds, leap_days)), last
    assert period_of(None, date(2025, 2, 28), now.date(), now).first == date(2024, 3, 1)


def test_a_period_that_is_not_over_ends_today(now: datetime) -> None:
    assert now.date() == date(2026, 3, 2)
    whole_year = period_of(None, date(2026, 12, 31), now.date(), now)
    assert whole_year == Period(date(2026, 1, 1), date(2026, 3, 2), asked_to=date(2026, 12, 31))
    assert period_of(date(2026, 3, 2), date(2026, 3, 2), now.date(), now) == Period(
        date(2026, 3, 2), date(2026, 3, 2)
    )


def test_money_keeps_unknown_and_nothing_apart() -> None:
    assert money([]) == Money(0, 0, 0)
    assert money([0.1, 0.2]) == Money(0.3, 2, 0)
    assert money([None, None]) == Money(None, 0, 2)
    assert money([2.0, None]) == Money(2, 1, 1)
