"""Opening makes a database where there is none, and leaves alone what is no database of ours."""

import hashlib
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import inspect, make_url, text

from obslog.records.database import Database
from obslog.records.driver_errors import NoSuchDatabase
from obslog.records.engine import UnreadableAddress
from obslog.records.opening import open_database
from obslog.records.tables.logbook_tables import Site
from obslog.records.tables.schema import metadata
from obslog.records.upgrading import SCHEMA_REVISION
from tests.records.children import side_by_side

OPEN_AND_SAY = """
def work():
    open_database(sys.argv[1], NOW, print, busy_timeout_ms=120_000).close()  # on a busy machine they wait long
"""


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def test_a_new_database_is_made_and_announced(new_target: str, now: datetime, said: list[str]) -> None:
    database = open_database(new_target, now, said.append)
    with database.engine.connect() as connection:
        assert set(inspect(connection).get_table_names()) == {*metadata.tables, "alembic_version"}
        assert connection.scalar(text("SELECT version_num FROM alembic_version")) == SCHEMA_REVISION
    database.close()
    assert said == [f"New database: {new_target}"]


def test_an_existing_database_opens_without_a_word(new_target: str, now: datetime, said: list[str]) -> None:
    first = open_database(new_target, now, said.append)
    with first.write(now) as session:
        session.add(Site(name="Mill Field", name_key="mill field"))
    first.close()
    said.clear()
    second = open_database(new_target, now, said.append)
    with second.read() as session:
        assert session.query(Site.name).all() == [("Mill Field",)]
    second.close()
    assert said == []


def test_several_programs_may_open_a_new_database_at_once(new_target: str) -> None:
    said = side_by_side(4, OPEN_AND_SAY, new_target)
    assert f"New database: {new_target}\n" in said
    if "://" not in new_target:
        assert sorted(said) == ["", "", "", f"New database: {new_target}\n"]
        assert list(Path(new_target).parent.glob(".*")) == []


def test_a_folder_is_made_only_where_asked(tmp_path: Path, now: datetime, said: list[str]) -> None:
    target = tmp_path / "new" / "folder" / "club.db"
    with pytest.raises(NoSuchDatabase, match="there is no folder"):
        open_database(str(target), now, said.append)
    assert not target.parent.exists()
    open_database(str(target), now, said.append, make_folder=True).close()
    assert target.is_file()


def test_a_path_through_a_file_is_refused(sqlite_path: Path, now: datetime, said: list[str]) -> None:
    for make_folder in (False, True):
        with pytest.raises(NoSuchDatabase):
            open_database(str(sqlite_path / "club.db"), now, said.append, make_folder=make_folder)


def test_a_name_too_long_for_the_disk_is_refused(tmp_path: Path, now: datetime, said: list[str]) -> None:
    with pytest.raises(NoSuchDatabase, match=r"(?i)name too long"):
        open_database(str(tmp_path / ("x" * 300)), now, said.append)


def test_a_path_with_signs_that_mean_something_in_addresses_opens(
    tmp_path: Path, now: datetime, said: list[str]
) -> None:
    path = tmp_path / "50% of us?#1 ünï.db"
    for _ in range(2):
        open_database(str(path), now, said.append).close()
    assert {found.name.removesuffix("-wal").removesuffix("-shm") for found in tmp_path.iterdir()} == {
        path.name
    }
    assert said == [f"New database: {path}"]


def test_a_link_to_a_file_not_yet_there_leads_to_the_new_database(
    tmp_path: Path, now: datetime, said: list[str]
) -> None:
    (tmp_path / "link.db").symlink_to(tmp_path / "real.db")
    open_database(str(tmp_path / "link.db"), now, said.append).close()
    assert (tmp_path / "link.db").is_symlink()
    assert (tmp_path / "real.db").is_file()


def test_a_server_that_does_not_answer_is_named_without_its_password(
    tmp_path: Path, now: datetime, said: list[str]
) -> None:
    url = f"postgresql+psycopg://obslog:secret@/club?host={tmp_path}"
    with pytest.raises(NoSuchDatabase) as caught:
        open_database(url, now, said.append)
    assert str(tmp_path) in caught.value.message
    assert "secret" not in caught.value.message + caught.value.hint


def test_a_database_that_the_server_does_not_have_is_refused(
    postgres_database: Database, now: datetime, said: list[str]
) -> None:
    url = make_url(postgres_database.where).set(database="nowhere").render_as_string()
    with pytest.raises(NoSuchDatabase, match="nowhere"):
        open_database(url, now, said.append)


@pytest.mark.parametrize(
    "address", ["mysql://host/club", "nonsense://x", "postgresql+other://x/y", "://", "a://b:c:d"]
)
def test_an_address_of_no_known_kind_is_wrong_input(address: str, now: datetime, said: list[str]) -> None:
    with pytest.raises(UnreadableAddress) as caught:
        open_database(address, now, said.append)
    assert caught.value.exit_code == 2


def test_sqlite_keeps_what_is_committed_and_checks_references(sqlite_database: Database) -> None:
    with sqlite_database.engine.connect() as connection:
        pragmas = {name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in PRAGMAS}
    assert pragmas == PRAGMAS


PRAGMAS = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 5000, "temp_store": 2}
"""Of them 2 is FULL for synchronous, MEMORY for temp_store (SQLite, "PRAGMA Statements")."""
