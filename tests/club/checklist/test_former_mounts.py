"""Where go-tos fell with a mount as it is no longer: told of neither the mended mount nor of another tube."""

from datetime import date, timedelta

import pytest

from obslog.club.checklist.checklist import checklist
from obslog.club.checklist.look_first import LookFirst
from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.live.checklist_answers import kept_look_first
from obslog.club.register.named_records import add
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount
from obslog.vocabulary.steps import Step
from tests.club.checklist.test_look_first import evening
from tests.club.performance.histories import NOW, Evening, fortnightly, put_on_record

NIGHTS = fortnightly(12, date(2025, 9, 1))
TONIGHT = NIGHTS[-1] + timedelta(days=3)
FAR, NEAR = [100.0] * 8, [6.0] * 8
"""Eight at 100' are certainly outside half a degree."""


def landing(database: Database, day: date) -> LookFirst | None:
    made = checklist(database, "Heron", "Mill Field", evening(day))
    return next((one for one in made.look_first if one.step == Step.VERIFY), None)


def test_a_mended_mount_is_not_told_to_land_far_out(sqlite_club: Database) -> None:
    put_on_record(sqlite_club, [Evening(night, FAR) for night in NIGHTS])
    before = landing(sqlite_club, TONIGHT)
    assert before is not None
    assert before.evidence == "go-tos landed far out on 12 of the last 12 nights with Heron"
    add_service(sqlite_club, "mount", "Heron", "new worm", NOW, on=TONIGHT, mechanical=True)
    assert landing(sqlite_club, TONIGHT) is None
    assert landing(sqlite_club, TONIGHT - timedelta(days=1)) is not None  # then nobody had mended it


def test_what_was_kept_of_a_mount_is_forgotten_when_it_is_mended(sqlite_club: Database) -> None:
    put_on_record(sqlite_club, [Evening(night, FAR) for night in NIGHTS])
    assert [one.step for one in kept(sqlite_club)] == [Step.VERIFY]
    add_service(sqlite_club, "mount", "Heron", "new worm", NOW, on=TONIGHT, mechanical=True)
    assert kept(sqlite_club) == []


def kept(database: Database) -> list[LookFirst]:
    with database.read() as session:
        heron = by_name(session, Mount, "Heron")
        return kept_look_first(session, heron, TONIGHT, lambda: read_past_nights(session, TONIGHT))


@pytest.mark.parametrize(("last", "told"), [("Short tube", True), ("Long tube", False)])
def test_a_mount_is_told_to_land_as_with_the_tube_that_it_has_now(
    sqlite_club: Database, last: str, told: bool
) -> None:
    """With the short tube it lands far out on every night, with the other on none; that used most of late is on it."""
    add(sqlite_club, "tube", "Short tube", {}, NOW)
    first = "Long tube" if told else "Short tube"
    tubes = [first] * 5 + [last] * 7
    put_on_record(
        sqlite_club,
        [
            Evening(night, FAR if tube == "Short tube" else NEAR, tube=tube)
            for night, tube in zip(NIGHTS, tubes, strict=True)
        ],
    )
    found = landing(sqlite_club, TONIGHT)
    if not told:
        assert found is None
        return
    assert found is not None
    assert found.evidence == "go-tos landed far out on 7 of the last 7 nights with Heron and Short tube"
    assert (found.name, found.wrong, found.nights) == ("Heron", 7, 7)
