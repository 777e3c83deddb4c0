"""The generated club is a club: of the size asked for, sound, and the commands answer in it."""

from datetime import UTC, date, datetime

import pytest
from sqlalchemy import func, select

from obslog.records.care.damage import complaints
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Mount, Night, Setup
from tests.benchmarks.big_club import Size, make_club, mount_names
from tests.cli.program import Program

LAST_NIGHT = date(2026, 3, 1)
SMALL = Size(mounts=14, setups=56, arrivals=5, years=4)


def test_a_small_one_is_of_its_size_and_sound(sqlite_database: Database) -> None:
    make_club(sqlite_database, LAST_NIGHT, SMALL)
    arrivals, setups_of = func.count(Arrival.id), func.count(Setup.id)
    with sqlite_database.read() as session:
        names = set(session.scalars(select(Mount.name)))
        setups = session.scalars(select(setups_of).group_by(Setup.mount_id)).all()
        most = max(session.scalars(select(arrivals).group_by(Arrival.setup_id)))
        nights = session.scalars(select(Night.night_of).order_by(Night.night_of)).all()
    assert names == set(mount_names(SMALL.mounts))
    assert set(setups) == {SMALL.setups // SMALL.mounts}
    assert most == SMALL.arrivals
    assert nights[-1] <= LAST_NIGHT
    assert 2 * 365 < (nights[-1] - nights[0]).days < SMALL.years * 366
    assert complaints(sqlite_database.engine) == []


def test_no_two_mounts_of_one_kind_are_alike(sqlite_database: Database) -> None:
    make_club(sqlite_database, LAST_NIGHT, SMALL)
    with sqlite_database.read() as session:
        east = {
            name: tuple(
                session.scalars(
                    select(Arrival.offset_east_arcmin).join(Setup, Arrival.setup_id == Setup.id)
                    .join(Mount, Setup.mount_id == Mount.id).where(Mount.name == name)
                )
            )
            for name in ("Old Grumble", "Old Grumble 2")
        }  # fmt: skip
    assert east["Old Grumble"] != east["Old Grumble 2"]


def test_the_commands_answer_in_it(sqlite_database: Database, capsys: pytest.CaptureFixture[str]) -> None:
    make_club(sqlite_database, LAST_NIGHT, SMALL)
    program = Program(capsys, {"OBSLOG_DB": sqlite_database.where}, datetime(2026, 3, 2, 20, tzinfo=UTC))
    for words in (
        ["review"],
        ["checklist", "Bramble", "--site", "Owlpenny Edge"],
        ["brief", "--mount", "Bramble", "--site", "Owlpenny Edge"],
        ["pointing", "trend", "Old Grumble 2"],
        ["pointing", "fit", "Old Grumble 2"],
    ):
        assert program.must(*words).out, words
