"""What a year's ticks and snags said of each step, counted by hand; nothing where the checklist ships."""

from datetime import UTC, date, datetime, timedelta

from obslog.club.annual.report_records import Period, StepYear
from obslog.club.annual.steps_year import steps_year
from obslog.club.checklist.step_ticks import tick_step
from obslog.club.night.snags import add_snag
from obslog.club.routine.routine_loading import load_routine
from obslog.records.database import Database

YEAR = Period(date(2025, 3, 1), date(2026, 2, 28))
OWN = """\
[checklist]
steps = ["pack", "assemble", "level", "dew-heaters", "finish"]
[step.dew-heaters]
title = "Unplug the dew heaters"
do = "Pull both plugs."
"""


def of(database: Database) -> list[StepYear] | None:
    with database.read() as session:
        return steps_year(session, YEAR)


def tick(database: Database, step: str, at: datetime, *, well: bool | None = True) -> None:
    tick_step(database, step, "Heron", "Mill Field", at, at, went_well=well)


def snag(database: Database, step: str, at: datetime) -> None:
    add_snag(database, step, "it went wrong", at, mount="Heron")


def test_nights_count_once_a_step_and_snags_each(club: Database, now: datetime) -> None:
    load_routine(club, OWN, "routine.toml", now)
    evening = datetime(2025, 5, 10, 21, tzinfo=UTC)
    tick(club, "dew-heaters", evening, well=False)
    tick(club, "dew-heaters", evening + timedelta(hours=4))  # after midnight: the same night
    tick(club, "dew-heaters", evening + timedelta(days=1), well=None)
    tick(club, "level", evening)
    snag(club, "dew-heaters", evening)
    snag(club, "dew-heaters", evening)
    snag(club, "key-in", evening)  # not on the club's checklist any more, and still told
    found = of(club)
    assert found is not None
    assert [(one.step, one.own, one.nights, one.nights_not_well, one.snags) for one in found] == [
        ("level", False, 1, 0, 0),
        ("dew-heaters", True, 2, 1, 2),
        ("key-in", False, 0, 0, 1),
    ]
    assert found[1].title == "Unplug the dew heaters"
    assert found[2].title.endswith("(left out of the club's checklist)")


def test_a_night_at_two_sites_is_two_nights_as_in_the_report(club: Database, now: datetime) -> None:
    load_routine(club, OWN, "routine.toml", now)
    evening = datetime(2025, 5, 10, 22, tzinfo=UTC)
    tick(club, "level", evening)
    tick_step(club, "level", "Bracken", "Kestrel Ridge", evening, evening, went_well=False)
    assert [(one.nights, one.nights_not_well) for one in of(club) or () if one.step == "level"] == [(2, 1)]


def test_only_nights_of_the_year_count_also_after_midnight(club: Database, now: datetime) -> None:
    load_routine(club, OWN, "routine.toml", now)
    tick(club, "level", datetime(2025, 2, 28, 21, tzinfo=UTC))
    tick(club, "level", datetime(2025, 3, 1, 2, tzinfo=UTC))  # the night of 28 February
    snag(club, "level", datetime(2026, 3, 1, 21, tzinfo=UTC))
    tick(club, "pack", datetime(2026, 3, 1, 3, tzinfo=UTC))  # the night of 28 February, the last one
    found = of(club)
    assert found is not None
    assert [(one.step, one.nights, one.snags) for one in found] == [("pack", 1, 0), ("dew-heaters", 0, 0)]


def test_without_a_checklist_of_its_own_there_is_nothing_to_say(club: Database, now: datetime) -> None:
    tick(club, "level", now)
    assert of(club) is None
