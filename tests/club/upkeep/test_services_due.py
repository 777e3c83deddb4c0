"""What is due for service: by date, by nights of use, by the routine, by a battery's test, by a condition."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.register.named_records import add
from obslog.club.register.rule_book import set_rule
from obslog.club.review.storeroom_evidence import standings
from obslog.club.routine.service_routine import NoSuchTask, RoutineTask, ServiceRoutine, shipped_tasks
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import be_found, go_missing
from obslog.club.storeroom.retirement import retire
from obslog.club.upkeep.batteries import (
    CAUTIONS,
    MoreUnderLoad,
    NotABattery,
    NothingRead,
    battery_page,
    note_test,
)
from obslog.club.upkeep.nights_of_use import nights_after, nights_last_year
from obslog.club.upkeep.service_bills import NO_BILL, Bill, NextBeforeThis, NightsNotCounted, SeveralDays
from obslog.club.upkeep.services import add_service, list_services
from obslog.club.upkeep.services_due import DueBy, list_due
from obslog.club.upkeep.task_states import schedule
from obslog.errors import OutOfRange, UnknownName
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece, Mount
from obslog.records.tables.officer import ClubTask
from tests.club.performance.histories import Evening, put_on_record


def served(
    club: Database, now: datetime, on: date, bill: Bill = NO_BILL, text: str = "cleaned", **more: object
) -> None:
    add_service(club, "mount", "Heron", text, now, on=on, bill=bill, **more)  # type: ignore[arg-type]


def due_on(club: Database, today: date, days: int = 0) -> list[tuple[str, str]]:
    return [(due.name, due.basis) for due in list_due(club, today, days)]


def test_a_service_is_due_on_its_day_and_not_before(club: Database, now: datetime) -> None:
    served(club, now, date(2026, 1, 31), Bill(next_in_months=1))
    assert list_services(club)[0].next_on == date(2026, 2, 28)  # by hand: February 2026 has 28 days
    assert due_on(club, date(2026, 2, 27)) == []
    assert due_on(club, date(2026, 2, 27), 1) == [("Heron", DueBy.DATE)]
    assert due_on(club, date(2026, 2, 28)) == [("Heron", DueBy.DATE)]


@pytest.mark.parametrize(
    ("day", "verb"), [(date(2026, 2, 27), "is"), (date(2026, 2, 28), "is"), (date(2026, 3, 1), "was")]
)
def test_of_a_day_that_is_past_it_is_said_that_a_service_was_due(
    club: Database, now: datetime, day: date, verb: str
) -> None:
    served(club, now, date(2026, 1, 31), Bill(next_on=date(2026, 2, 28)))
    (due,) = list_due(club, day, 1)
    assert due.words == f"service {verb} due on 2026-02-28; the last was on 2026-01-31: cleaned"


def test_a_new_fuse_does_not_put_off_the_yearly_service(club: Database, now: datetime) -> None:
    served(club, now, date(2025, 1, 10), Bill(next_in_months=12))
    served(club, now, date(2025, 6, 1), text="new fuse")
    assert due_on(club, date(2026, 1, 10)) == [("Heron", DueBy.DATE)]
    served(club, now, date(2026, 1, 12))
    assert due_on(club, date(2026, 3, 1)) == []
    served(club, now, date(2026, 2, 1), Bill(next_on=date(2026, 2, 20)))
    assert due_on(club, date(2026, 3, 1)) == [("Heron", DueBy.DATE)]


def test_nights_of_use_are_counted_once_each_and_only_after_the_service(
    club: Database, now: datetime
) -> None:
    """Set-ups on 1, 2, 3 and twice on 4 January; the service on the 1st: three nights after it."""
    nights = [date(2026, 1, day) for day in (1, 2, 3, 4, 4)]
    put_on_record(club, [Evening(night, [1.0]) for night in nights])
    served(club, now, date(2026, 1, 1), Bill(next_after_nights=3))
    assert [(due.basis, due.nights_last_year) for due in list_due(club, now.date())] == [(DueBy.NIGHTS, 4)]
    assert "used on 3 since 2026-01-01" in list_due(club, now.date())[0].words
    served(club, now, date(2026, 1, 2), Bill(next_after_nights=3))
    assert list_due(club, now.date()) == []
    assert nights_after([date(2026, 1, 1), date(2026, 1, 4)], date(2026, 1, 1)) == 1


def test_an_eyepiece_that_was_only_looked_through_was_used(club: Database, now: datetime) -> None:
    """No set-up names Wide 25; on two evenings somebody looks through it, on one of them at two objects."""
    for evening in (now - timedelta(days=1), now):
        start_night(club, "Mill Field", evening)
        for target in ("M 42", "M 45") if evening == now else ("M 42",):
            entry = ObservationEntry(eyepiece="Wide 25")
            record_observations(club, target, entry, evening, observers=["Ines"], sure=True)
    add_service(
        club, "eyepiece", "Wide 25", "cleaned", now, on=date(2026, 2, 1), bill=Bill(next_after_nights=2)
    )
    assert [(due.basis, due.nights_last_year) for due in list_due(club, now.date())] == [(DueBy.NIGHTS, 2)]
    with club.read() as session:
        wide = by_name(session, Eyepiece, "Wide 25")
        assert standings(session, now.date() + timedelta(days=10))[wide.id].idle_days == 10


def test_what_was_lost_on_loan_was_not_used_until_the_rest_came_back(club: Database, now: datetime) -> None:
    add_kit(club, "Box", ["Wide 25", "Stop 20"], now)
    lend(club, "Box", "Ines", now, on=date(2026, 1, 1))
    go_missing(club, "Wide 25", now, on=date(2026, 1, 11), lost_on_loan=True)
    take_back(club, "Box", now, on=date(2026, 2, 10))
    be_found(club, "Wide 25", now, on=date(2026, 2, 12))
    with club.read() as session:
        idle = {
            name: standings(session, date(2026, 2, 20))[by_name(session, Eyepiece, name).id].idle_days
            for name in ("Wide 25", "Stop 20")
        }
    assert idle == {"Wide 25": 40, "Stop 20": 10}  # from 11 January, and from 10 February


def test_what_is_used_most_comes_first_and_conditions_last(club: Database, now: datetime) -> None:
    put_on_record(club, [Evening(date(2026, 2, day), [1.0], mount="Bracken") for day in (1, 5, 9)])
    served(club, now, date(2026, 1, 1), Bill(next_on=date(2026, 2, 1), next_when="it plays"))
    bill = Bill(next_on=date(2026, 2, 20))
    add_service(club, "mount", "Bracken", "cleaned", now, on=date(2026, 1, 1), bill=bill)
    assert due_on(club, now.date()) == [
        ("Bracken", DueBy.DATE),
        ("Heron", DueBy.DATE),
        ("Heron", DueBy.CONDITION),
    ]


def test_a_battery_counts_with_the_nights_of_its_kits_mount(club: Database, now: datetime) -> None:
    put_on_record(club, [Evening(date(2026, 2, day), [1.0]) for day in (1, 5)])
    add_kit(club, "Evening kit", ["Heron", "Lead battery"], now)
    note_test(club, "Lead battery", now, capacity_percent=59.9)
    assert [(due.name, due.nights_last_year) for due in list_due(club, now.date())] == [("Lead battery", 2)]
    # Rounded, it would be the club's own limit.
    assert "59.9 % of its capacity" in list_due(club, now.date())[0].words
    with club.read() as session:  # a year on, the night of the 1st is 365 days ago, and the 5th alone is left
        assert set(nights_last_year(session, date(2027, 2, 1)).values()) == {1}


def test_what_is_retired_or_missing_is_not_due(club: Database, now: datetime) -> None:
    served(club, now, date(2026, 1, 1), Bill(next_on=date(2026, 2, 1)))
    add_service(club, "mount", "Bracken", "x", now, on=date(2026, 1, 1), bill=Bill(next_on=date(2026, 2, 1)))
    retire(club, "mount", "Heron", None, now.date(), now)
    go_missing(club, "Bracken", now)
    assert list_due(club, now.date()) == []


def test_a_task_of_the_routine_is_due_by_its_interval_once_it_was_noted(
    club: Database, now: datetime
) -> None:
    grease = next(task for task in ServiceRoutine(shipped_tasks()).of("mount", None) if task.task == "grease")
    assert grease.every_months == 12
    assert all(
        state.last_on is None and not state.due for state in schedule(club, "Heron", now.date()).states
    )
    served(club, now, date(2025, 3, 2), tasks=["Grease"])
    assert due_on(club, date(2026, 3, 1)) == []
    assert due_on(club, date(2026, 3, 2)) == [("Heron", DueBy.ROUTINE)]
    states = {state.task.task: state for state in schedule(club, "heron", date(2026, 3, 2)).states}
    assert (states["grease"].due, states["grease"].due_on) == (True, date(2026, 3, 2))
    assert states["backlash"].last_on is None
    with club.read() as session:
        key = by_name(session, Mount, "Heron").id
        assert standings(session, date(2026, 3, 2))[key].service_due[0].startswith("'grease' of the schedule")


def test_what_a_service_says_itself_comes_before_the_routine(club: Database, now: datetime) -> None:
    served(club, now, date(2025, 1, 1), Bill(next_in_months=24), tasks=["grease"])
    assert due_on(club, date(2026, 6, 1)) == []


def test_every_task_of_the_routine_says_what_and_how_often_and_by_whose_word() -> None:
    assert len(shipped_tasks()) > 10
    for task in shipped_tasks():
        ways = (task.every_months, task.every_nights, task.when)
        assert sum(way is not None for way in ways) == 1, task
        assert task.source, task
    assert {"mount", "tube", "eyepiece", "finder", "battery"} <= {task.of for task in shipped_tasks()}


def test_a_task_of_the_clubs_own_by_the_calendar_or_by_nights_of_use_whatever_comes_first(
    club: Database, now: datetime
) -> None:
    """Noted on 1 January; the third night after it is 20 January, 12 months after it the next 1 January."""
    with club.write(now, "a routine of the club's own") as session:
        session.add(
            ClubTask(
                place=1,
                task_of="mount",
                task="regrease",
                what_to_do="New grease.",
                every_months=12,
                every_nights=3,
            )
        )
    served(club, now, date(2026, 1, 1), tasks=["regrease"])
    put_on_record(club, [Evening(date(2026, 1, day), [1.0]) for day in (5, 12)])
    assert due_on(club, date(2026, 1, 13)) == []
    put_on_record(club, [Evening(date(2026, 1, 20), [1.0])])
    (due,) = list_due(club, date(2026, 2, 1))
    assert due.words == (
        "'regrease' of the club's routine is due since 2026-01-20, every 12 months or 3 nights; it was last done on "
        "2026-01-01, and used on 3 nights since"
    )
    with pytest.raises(NoSuchTask):
        served(
            club, now, date(2026, 1, 2), tasks=["grease"]
        )  # of the schedule that ships: the club has its own


@pytest.mark.parametrize(
    ("months", "nights", "words"),
    [
        (1, None, "every month"),
        (12, None, "every 12 months"),
        (None, 30, "every 30 nights"),
        (12, 30, "every 12 months or 30 nights"),
        (1, 1, "every month or night"),
    ],
)
def test_how_often_in_words(months: int | None, nights: int | None, words: str) -> None:
    task = RoutineTask(of="mount", task="x", do="y", every_months=months, every_nights=nights)
    assert task.interval == words


def test_the_routine_of_a_kind_or_of_all(club: Database, now: datetime) -> None:
    assert {task.of for task in schedule(club, "Battery", now.date()).tasks} == {"battery"}
    assert schedule(club, None, now.date()).tasks == list(shipped_tasks())
    add(club, "item", "Odd thing", {"sort": "oddity"}, now)
    assert schedule(club, "Odd thing", now.date()).states == []
    with pytest.raises(UnknownName):
        schedule(club, "Nothing", now.date())


@pytest.mark.parametrize(
    ("bill", "error"),
    [
        (Bill(cost=-1), OutOfRange),
        (Bill(cost=float("nan")), OutOfRange),
        (Bill(next_on=date(2026, 2, 1)), NextBeforeThis),
        (Bill(next_on=date(2026, 5, 1), next_in_months=3), SeveralDays),
        (Bill(next_in_months=0), OutOfRange),
        (Bill(next_in_months=241), OutOfRange),
        (Bill(next_after_nights=0), OutOfRange),
    ],
)
def test_a_bill_that_cannot_be_is_refused(
    club: Database, now: datetime, bill: Bill, error: type[Exception]
) -> None:
    with pytest.raises(error):
        served(club, now, date(2026, 2, 1), bill)
    assert list_services(club) == []


def test_nights_are_not_counted_of_other_items(club: Database, now: datetime) -> None:
    with pytest.raises(NightsNotCounted):
        add_service(
            club, "item", "Lead battery", "charged", now, on=now.date(), bill=Bill(next_after_nights=5)
        )
    with pytest.raises(NoSuchTask, match="battery"):
        add_service(club, "item", "Lead battery", "charged", now, on=now.date(), tasks=["grease"])


def test_a_weak_battery_is_warned_of_by_the_clubs_own_number(club: Database, now: datetime) -> None:
    add(club, "item", "Old battery", {"sort": "Battery"}, now)
    assert note_test(club, "Old battery", now, capacity_percent=60).warning is None
    page = note_test(club, "Old battery", now + timedelta(days=1), capacity_percent=59)
    assert page.warning is not None
    assert "59 %" in page.warning
    assert "60 %" in page.warning
    assert note_test(club, "Old battery", now + timedelta(days=2), rest_volts=12.5).warning == page.warning
    set_rule(club, "battery-percent", 50, now)
    assert battery_page(club, "Old battery").warning is None
    assert [test.capacity_percent for test in battery_page(club, "Old battery").tests] == [None, 59, 60]
    words = " ".join(CAUTIONS).lower()
    assert all(word in words for word in ("alone", "lithium", "swollen", "qualified"))


def test_a_test_that_cannot_be_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(NothingRead):
        note_test(club, "Lead battery", now)
    with pytest.raises(MoreUnderLoad):
        note_test(club, "Lead battery", now, rest_volts=11.9, load_volts=12.7)
    with pytest.raises(OutOfRange):
        note_test(club, "Lead battery", now, capacity_percent=201)
    with pytest.raises(NotABattery, match="mount"):
        note_test(club, "Heron", now, rest_volts=12)
    add(club, "item", "Case", {"sort": "case"}, now)
    with pytest.raises(NotABattery, match="case"):
        battery_page(club, "Case")
    with pytest.raises(UnknownName):
        battery_page(club, "Nothing")
    assert battery_page(club, "Lead battery").tests == []
