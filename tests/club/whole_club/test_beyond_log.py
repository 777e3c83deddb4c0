"""A club made again from its folder: its log says what its rows say, merging knows it, and nothing is there twice."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select

from obslog.club.night.nights import start_night
from obslog.club.privacy.leaving_members import leave
from obslog.club.register.named_records import edit
from obslog.club.register.undo import undo
from obslog.club.whole_club.export_all import export_all
from obslog.club.whole_club.import_all import import_all
from obslog.records.bundles.taking_in import take_in
from obslog.records.bundles.telling import Choice, tell
from obslog.records.database import Database
from obslog.records.opening import open_database
from obslog.records.tables.logbook_tables import Act, Mount, Site
from tests.club.whole_club.conftest import NOW
from tests.club.whole_club.folders import changed, description_of, opened, with_cell
from tests.club.whole_club.wrong_folders import dropped
from tests.conftest import quiet
from tests.records.history.log_folded import assert_told
from tests.records.merging.laptops import begin_club, laptops
from tests.records.merging.whole_log import Key, rows_now
from tests.seed_demo.conftest import NOON_AFTER, demo  # noqa: F401 - a fixture
from tests.written_once import rows_of

THE_LOG = ("changes", "change_batches", "acts")


def acts(database: Database) -> list[str]:
    with database.read() as session:
        return list(session.scalars(select(Act.sentence).order_by(Act.id)))


def merge(into: Database, *others: Database) -> None:
    bundles = []
    for other in others:
        with other.read() as session:
            bundles.append(list(tell(session, Choice(with_private=True))))
    with into.write(NOW) as session:
        take_in(session, bundles)


def counts(database: Database) -> dict[str, int]:
    return {table.name: len(rows) for table, rows in rows_of(database.engine) if table.name not in THE_LOG}


def of_records(database: Database) -> dict[Key, dict[str, Any]]:
    with database.read() as session:
        return rows_now(session)


def of_kind(database: Database, kind: type[Any]) -> int:
    with database.read() as session:
        return session.scalar(select(func.count()).select_from(kind)) or 0


def without_log(folder: Path) -> None:
    for table in THE_LOG:
        dropped(f"{table}.csv")(folder)
        (folder / f"{table}.csv").unlink(missing_ok=True)
    path = folder / "datapackage.json"
    document = description_of(folder)
    document["resources"] = [one for one in document["resources"] if one["name"] not in THE_LOG]
    path.write_text(json.dumps(document), encoding="utf-8")


def test_a_folder_as_it_was_exported_brings_its_own_history_and_no_act_more(
    database: Database, odd_file: Path, odd_folder: Path
) -> None:
    taken = import_all(database, odd_folder, NOW)
    origin = opened(odd_file)
    assert taken.noted == 0
    assert acts(database) == acts(origin)
    assert_told(database)
    origin.close()


def test_a_club_of_two_years_is_what_its_log_says(
    demo: Database,  # noqa: F811
    sqlite_database: Database,
    tmp_path: Path,
) -> None:
    export_all(demo, tmp_path / "out", NOON_AFTER, with_private=True)
    assert import_all(sqlite_database, tmp_path / "out", NOON_AFTER).noted == 0
    assert_told(sqlite_database)


def test_a_club_that_somebody_left_is_what_its_log_says(
    sqlite_database: Database, odd_file: Path, tmp_path: Path
) -> None:
    """Of whoever left the log keeps only the keys."""
    origin = opened(Path(shutil.copy(odd_file, tmp_path / "origin.db")))
    edit(origin, "member", "Ines", {"note": "has the key"}, NOW)
    leave(origin, "Ines", NOW)
    export_all(origin, tmp_path / "out", NOW, with_private=True)
    assert import_all(sqlite_database, tmp_path / "out", NOW).noted == 0
    assert acts(sqlite_database) == acts(origin)
    origin.close()


def test_merged_with_its_origin_nothing_is_there_twice(
    sqlite_database: Database, odd_file: Path, odd_folder: Path, tmp_path: Path
) -> None:
    """Though both went on: each learns what the other did, and is the same in the end."""
    origin = opened(Path(shutil.copy(odd_file, tmp_path / "origin.db")))
    import_all(sqlite_database, odd_folder, NOW)
    before = counts(origin)
    merge(origin, sqlite_database)
    assert counts(origin) == before
    edit(sqlite_database, "site", "Mill Field", {"note": "gate is locked"}, NOW)
    start_night(origin, "Kestrel Ridge", NOW)
    merge(origin, sqlite_database)
    merge(sqlite_database, origin)
    assert counts(origin) == counts(sqlite_database)
    assert {**before, "nights": before["nights"] + 1} == counts(origin)
    assert_told(sqlite_database)
    origin.close()


@pytest.mark.parametrize("seed", range(6))
def test_a_club_of_several_laptops_with_all_that_they_contradict_is_taken_without_an_act(
    seed: int, sqlite_database: Database, tmp_path: Path
) -> None:
    template = tmp_path / "laptop.db"
    begun = open_database(str(template), NOW, quiet)
    begin_club(begun)
    begun.close()
    here, there = laptops(template, tmp_path, 2, seed)
    for _ in range(40):
        here.something()
        there.something()
    here.take_from(there)
    export_all(here.database, tmp_path / "out", here.now, with_private=True)
    assert import_all(sqlite_database, tmp_path / "out", here.now).noted == 0
    assert of_records(sqlite_database) == here.rows()
    for laptop in (here, there):
        laptop.database.close()


def test_what_was_changed_by_hand_is_an_act_that_history_undo_and_merging_know(
    database: Database, odd_file: Path, odd_folder: Path, tmp_path: Path
) -> None:
    line = next(
        n for n in (2, 3) if "Mill Field" in (odd_folder / "sites.csv").read_text().splitlines()[n - 1]
    )
    folder = changed(odd_folder, tmp_path / "by-hand", with_cell("sites.csv", line, "elevation_m", "21"))
    origin = opened(Path(shutil.copy(odd_file, tmp_path / "origin.db")))
    assert import_all(database, folder, NOW).noted == 1
    assert acts(database) == [*acts(origin), "import all by-hand"]
    assert_told(database)
    merge(origin, database)
    assert elevation(origin) == elevation(database) == 21
    assert undo(database, NOW) == "import all by-hand"
    assert elevation(database) == 20
    assert_told(database)
    origin.close()


def elevation(database: Database) -> float | None:
    with database.read() as session:
        return session.scalars(select(Site.elevation_m).where(Site.name_key == "mill field")).one()


def test_a_folder_without_a_log_is_one_act_that_can_be_merged_and_undone(
    database: Database, club_file: Path, tmp_path: Path
) -> None:
    origin = opened(Path(shutil.copy(club_file, tmp_path / "origin.db")))
    start_night(origin, "Kestrel Ridge", NOW)
    export_all(origin, tmp_path / "out", NOW)
    import_all(database, changed(tmp_path / "out", tmp_path / "bare", without_log), NOW)
    assert acts(database) == ["import all bare"]
    assert_told(database)
    edit(database, "site", "Mill Field", {"note": "gate is locked"}, NOW)
    merge(origin, database)
    assert of_records(origin) == of_records(database), "the same keys are the same records"
    for _ in range(2):
        undo(database, NOW)
    assert (of_kind(database, Site), of_kind(database, Mount)) == (0, 0)
    origin.close()


def test_a_row_that_is_missing_is_no_removal(
    sqlite_database: Database, odd_file: Path, odd_folder: Path, tmp_path: Path
) -> None:
    """It may have been lost on the way, and merging would take it from everybody."""

    def cut(folder: Path) -> None:
        path = folder / "observations.csv"
        path.write_bytes(path.read_bytes().splitlines(keepends=True)[0])

    origin = opened(Path(shutil.copy(odd_file, tmp_path / "origin.db")))
    assert import_all(sqlite_database, changed(odd_folder, tmp_path / "cut", cut), NOW).noted == 0
    before = counts(origin)
    merge(origin, sqlite_database)
    assert counts(origin) == before
    origin.close()
