"""The generated club is a club: of the size asked for, sound, and the commands answer in it."""

from datetime import date
from pathlib import Path

from sqlalchemy import func, select

from obslog.records.backup import complaints
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Arrival, Mount, Night, Setup
from tests.benchmarks.big_club import Size, make_club, mount_names
from tests.cli.program import Program

LAST_NIGHT = date(2026, 3, 1)
SMALL = Size(mounts=14, setups=56, arrivals=5, years=4)


def test_a_small_one_is_of_its_size_and_sound(sqlite_database: Database) -> None:
    make_club(sqlite_database, LAST_NIGHT, SMALL)
    with sqlite_database.read() as session:
        names = set(session.scalars(select(Mount.name)))
        setups = dict(
            session.execute(select(Mount.name, func.count()).join(Setup).group_by(Mount.name)).all()
        )  # type: ignore[arg-type]
        most = session.scalar(
            select(func.count()).select_from(Arrival).group_by(Arrival.setup_id).order_by(func.count().desc())
        )
        first, last = session.execute(select(func.min(Night.night_of), func.max(Night.night_of))).one()
    assert names == set(mount_names(SMALL.mounts))
    assert set(setups.values()) == {SMALL.setups // SMALL.mounts}
    assert most == SMALL.arrivals
    assert last <= LAST_NIGHT
    assert 2 * 365 < (last - first).days < SMALL.years * 366
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


def test_the_commands_answer_in_it(program: Program, sqlite_database: Database, tmp_path: Path) -> None:
    del tmp_path
    make_club(sqlite_database, LAST_NIGHT, SMALL)
    program.environment["OBSLOG_DB"] = sqlite_database.where
    for words in (
        ["review"],
        ["checklist", "Bramble", "--site", "Owlpenny Edge"],
        ["brief", "--mount", "Bramble", "--site", "Owlpenny Edge"],
        ["pointing", "trend", "Old Grumble 2"],
        ["pointing", "fit", "Old Grumble 2"],
    ):
        assert program.must(*words).out, words
