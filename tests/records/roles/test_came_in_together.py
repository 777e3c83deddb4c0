"""What a member may settle of records that came in together, by a sheet: those of nights of their own."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from sqlalchemy import select, text

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.register.undo import undo
from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.deciding import drop
from obslog.club.together.merging import merge_bundles
from obslog.club.together.standing_words import short
from obslog.club.together.writing import NothingToTell, WhatToTell, write_bundle_to
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.merging import obstacles
from obslog.records.merging.batch_images import CameWithAnothers
from obslog.records.merging.row_images import by_many
from obslog.records.tables.logbook import Act
from obslog.records.tables.logbook_tables import Arrival
from tests.club.sheets.sheets import row, sheet_text, written
from tests.conftest import NOW
from tests.records.roles.conftest import Opened
from tests.records.roles.test_history_rights import done
from tests.records.roles.test_set_aside import set_aside

BRAMS = {"night": "2026-03-02", "site": "Kestrel Ridge", "observer": "Bram Ostler", "setup": "2"}
ANOTHERS = BRAMS | {"night": "2026-03-01", "observer": "Ines", "utc": "2026-03-01T20:00:00Z"}
FILL = "UPDATE change_batches SET images = 'told' WHERE record_kind = 'Arrival'"


@pytest.fixture
def laptop(club_file: Path, tmp_path: Path) -> Iterator[Database]:
    path = shutil.copy(club_file, tmp_path / "laptop.db")
    database = Database(make_engine(str(path)), str(path))
    yield database
    database.close()


def brams_sheet(folder: Path, *more: dict[str, str]) -> Path:
    arrivals = (row(**BRAMS, utc=f"2026-03-02T20:{minute}:00Z") for minute in (41, 43, 45))
    return written(folder, sheet_text(*arrivals, *more))


def later() -> datetime:
    return datetime.now(UTC).replace(microsecond=0) + timedelta(hours=1)


def give(whose: Database, to: Database, folder: Path) -> None:
    bundle = folder / "given.bundle"
    write_bundle_to(whose, bundle, WhatToTell(), later())
    merge_bundles(to, [bundle], later())
    bundle.unlink()


def imported_twice(server: Database, laptop: Database, officer: Database, folder: Path, sheet: Path) -> str:
    """The sheet comes in on both, is noted on the laptop, and that taken back; gives the reference of taking it back.

    So the merge leaves every row as its batch says, and what the batch says is not kept beside it.
    """
    for one in (server, laptop):
        start_night(one, "Kestrel Ridge", NOW, present=["Bram Ostler"])
        import_arrivals(one, sheet, later())
    with laptop.write(later(), "note it") as session:
        first = session.scalars(select(Arrival).order_by(Arrival.at_utc.desc())).first()
        assert first is not None
        first.note = "dew"
    undo(laptop, later())
    give(laptop, officer, folder)
    with officer.read() as session:
        return short(str(session.scalars(select(Act.id).where(Act.sentence == "undo: note it")).one()))


def notes(database: Database) -> list[str]:
    with database.read() as session:
        return list(session.scalars(select(Arrival.note).where(Arrival.note.is_not(None))))


def kept(database: Database) -> list[bool]:
    """Of each batch of arrivals whether it is kept what they were."""
    with database.read() as session:
        query = "SELECT images IS NOT NULL FROM change_batches WHERE record_kind = 'Arrival' ORDER BY id"
        return list(session.execute(text(query)).scalars())


def test_a_member_settles_what_came_in_with_a_sheet(
    as_login: Opened, laptop: Database, tmp_path: Path
) -> None:
    bram = as_login("bram")
    reference = imported_twice(bram, laptop, as_login("officer"), tmp_path, brams_sheet(tmp_path))
    assert (notes(bram), kept(bram)) == ([], [False, True])
    undo(bram, later(), reference)
    assert (notes(bram), kept(bram)) == (["dew"], [True, True])


def test_what_came_in_with_anothers_is_an_officers(
    as_login: Opened, laptop: Database, tmp_path: Path
) -> None:
    bram, officer = as_login("bram"), as_login("officer")
    sheet = brams_sheet(tmp_path, row(**ANOTHERS))
    reference = imported_twice(officer, laptop, officer, tmp_path, sheet)
    with officer.write(NOW) as session:
        session.execute(
            text(
                "INSERT INTO attendances (id, night_id, member_id) SELECT gen_random_uuid(), nights.id, members.id "
                "FROM nights, members WHERE night_of = '2026-03-01' AND members.name = 'Ines'"
            )
        )
    with pytest.raises(CameWithAnothers) as caught:
        undo(bram, later(), reference)
    assert "An officer" in (caught.value.hint or "")
    assert (notes(bram), kept(bram)) == ([], [False, True])
    undo(officer, later(), reference)
    assert (notes(bram), kept(bram)) == (["dew"], [True, True])


def test_what_they_were_is_put_down_once_and_by_those_who_were_there(
    as_login: Opened, tmp_path: Path
) -> None:
    bram, ines = as_login("bram"), as_login("ines")
    start_night(bram, "Kestrel Ridge", NOW, present=["Bram Ostler"])
    import_arrivals(bram, brams_sheet(tmp_path), later())
    assert done(bram, FILL)
    assert not done(bram, FILL, FILL)
    assert not done(ines, FILL)
    assert not done(as_login("reader"), FILL)
    assert not done(bram, FILL.replace("images = 'told'", "records = 2"))
    assert done(as_login("officer"), FILL, FILL)


def test_one_that_was_removed_since_is_still_ones_own(as_login: Opened, tmp_path: Path) -> None:
    bram = as_login("bram")
    start_night(bram, "Kestrel Ridge", NOW, present=["Bram Ostler"])
    import_arrivals(bram, brams_sheet(tmp_path), later())
    with bram.write(later(), "remove one") as session:
        session.delete(session.scalars(select(Arrival).order_by(Arrival.id)).first())
    assert done(bram, FILL)
    assert not done(as_login("ines"), FILL)


@pytest.mark.parametrize("many", [1, 2, 500])
def test_a_member_drops_a_set_up_that_waits_with_all_that_was_noted_in_it(
    as_login: Opened, laptop: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, many: int
) -> None:
    """The night was taken back on the server while the laptop took the sheet in for it.

    Whose its arrivals are is told by the set-up alone, however many are taken away by one statement.
    """
    monkeypatch.setattr(obstacles, "by_many", partial(by_many, many=many))
    bram, officer = as_login("bram"), as_login("officer")
    start_night(bram, "Kestrel Ridge", NOW, present=["Bram Ostler"])
    start_setup(bram, "Heron", NOW, tube="Long tube", observer="Bram Ostler", eyepiece="Wide 25")
    give(officer, laptop, tmp_path)
    undo(bram, later())
    undo(bram, later())
    import_arrivals(laptop, brams_sheet(tmp_path), later())
    give(laptop, officer, tmp_path)
    assert set_aside(bram)[1] == ["Arrival", "Arrival", "Arrival", "Setup"]
    (waiting,) = list_conflicts(bram).to_settle
    drop(bram, waiting.reference, later())
    assert set_aside(bram) == ([], [], [])


def test_a_member_may_write_a_bundle_but_only_officers_say_what_was_told(
    as_login: Opened, tmp_path: Path
) -> None:
    acts = write_bundle_to(as_login("bram"), tmp_path / "all", WhatToTell(), NOW).acts
    new = WhatToTell(untold=True)
    assert write_bundle_to(as_login("officer"), tmp_path / "new", new, NOW).acts == acts
    with pytest.raises(NothingToTell):
        write_bundle_to(as_login("officer"), tmp_path / "newer", new, NOW)
