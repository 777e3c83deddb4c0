"""A club is moved to an empty place, and to no other."""

from pathlib import Path

import pytest

from obslog.records.database import Database
from obslog.records.driver_errors import NoSuchDatabase
from obslog.records.engine import make_engine
from obslog.records.found_revision import EmptyFile, NotADatabase, UnfinishedMove
from obslog.records.moving.target import SamePlace, TargetNotEmpty, target_of_move
from obslog.records.opening import open_database
from tests.conftest import NOW, quiet


def test_a_new_place_gets_its_tables_and_stays_closed_until_all_is_there(
    sqlite_database: Database, new_target: str
) -> None:
    engine, _where = target_of_move(new_target, sqlite_database.engine, NOW, quiet)
    engine.dispose()
    with pytest.raises(UnfinishedMove):
        open_database(new_target, NOW, quiet)


def test_an_unfinished_move_is_gone_on_with_and_said(
    sqlite_database: Database, new_target: str, said: list[str]
) -> None:
    target_of_move(new_target, sqlite_database.engine, NOW, quiet)[0].dispose()
    target_of_move(new_target, sqlite_database.engine, NOW, said.append)[0].dispose()
    assert said == [f"Going on with a move to {new_target} that was broken off."]


def test_an_empty_club_is_no_obstacle_and_a_single_record_is(
    sqlite_database: Database, club: Database, sqlite_template: Path
) -> None:
    with pytest.raises(TargetNotEmpty):
        target_of_move(
            club.where if "://" in club.where else str(club.engine.url.database),
            sqlite_database.engine,
            NOW,
            quiet,
        )


def test_the_place_itself_under_another_name_is_known(sqlite_path: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.db"
    link.symlink_to(sqlite_path)
    engine = make_engine(str(sqlite_path))
    for name in (str(sqlite_path), str(link)):
        with pytest.raises(SamePlace):
            target_of_move(name, engine, NOW, quiet)


def test_what_is_no_place_for_a_club_is_refused(sqlite_database: Database, tmp_path: Path) -> None:
    (tmp_path / "empty.db").touch()
    (tmp_path / "letter.txt").write_text("Dear Ines")
    for name, refusal in (
        ("empty.db", EmptyFile),
        ("letter.txt", NotADatabase),
        ("nowhere/new.db", NoSuchDatabase),
    ):
        with pytest.raises(refusal):
            target_of_move(str(tmp_path / name), sqlite_database.engine, NOW, quiet)
    assert (tmp_path / "letter.txt").read_text() == "Dear Ines"
