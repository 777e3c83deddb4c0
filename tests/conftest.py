"""What tests share: a fixed clock, an open database of either kind, and a small invented club.

Every test that takes `database` runs on SQLite and on PostgreSQL, on one migrated database each that is emptied after
the test. Tests that need a file of their own take `sqlite_path` or `sqlite_database`, a copy of a migrated template.
Where no server is installed the PostgreSQL half is skipped by name, and fails where CI is set.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from hypothesis import HealthCheck, settings
from sqlalchemy import Connection, Engine, create_engine, event

from obslog.club.register import named_records
from obslog.records.database import Database
from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables.schema import metadata
from obslog.vocabulary.mounts import Controller, MountType
from tests.as_on_windows import files_as_on_windows
from tests.compiled_once import statements_compiled_once
from tests.postgres_server import running_server, server_programs
from tests.written_once import Rows, put_rows, rows_of

settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
if "CI" not in os.environ:  # there Hypothesis has a profile of its own, which says this too
    settings.load_profile("any machine")  # a busy one is no fault of the program
pytest_plugins = ["tests.report.pages.browser"]
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
_numbers = count(1)
CLUB: list[tuple[str, str, dict[str, object]]] = [
    (
        "site",
        "Mill Field",
        {"lat_deg": 52.2, "lon_deg": 0.12, "elevation_m": 20.0, "zone": "Europe/London"},
    ),
    ("site", "Kestrel Ridge", {"lat_deg": -32.4, "lon_deg": 22.3, "zone": "Africa/Johannesburg"}),
    ("member", "Ines", {}),
    ("member", "Bram Ostler", {}),
    ("mount", "Heron", {"mount_type": MountType.GERMAN, "controller": Controller.SHIFT}),
    ("mount", "Bracken", {"mount_type": MountType.FORK, "controller": Controller.MODEL}),
    ("mount", "Thistle", {"mount_type": MountType.ALTAZ, "controller": Controller.SHIFT}),
    ("tube", "Long tube", {"aperture_mm": 212.0, "focal_mm": 1000.0}),
    ("eyepiece", "Wide 25", {"focal_mm": 25.0, "field_deg": 53.0}),
    ("eyepiece", "Stop 20", {"focal_mm": 20.0, "field_deg": 61.0, "field_stop_mm": 20.0}),
    ("item", "Lead battery", {"sort": "battery"}),
]


def quiet(_sentence: str) -> None:
    """Says nothing, where a test does not care what is said."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What asks the server gets the mark `server`, so that it can be run alone on another version."""
    for item in items:
        parameters = getattr(getattr(item, "callspec", None), "params", {})
        on_server = any(isinstance(value, str) and value == "postgresql" for value in parameters.values())
        if on_server or "postgres_socket" in getattr(item, "fixturenames", ()):
            item.add_marker("server")


@pytest.fixture
def now() -> datetime:
    """The evening of 2 March 2026, 21:40 by the clocks of London."""
    return NOW


@pytest.fixture
def said() -> list[str]:
    """A list whose `append` can be handed in to hear what is said."""
    return []


@pytest.fixture(scope="session", autouse=True)
def _nobodys_settings(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Who types at this machine is nobody in particular: XDG names the folder of a person's settings."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("settings")))
        patch.delenv("OBSLOG_ME", raising=False)
        yield


@pytest.fixture(scope="session", autouse=True)
def _compiled_once() -> Iterator[None]:
    """Each statement is compiled once for all engines on SQLite that the tests of this process make."""
    with statements_compiled_once():
        yield


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated SQLite file, to be copied and never opened."""
    path = tmp_path_factory.mktemp("template") / "obslog.db"
    open_database(str(path), NOW, quiet).close()
    return path


@pytest.fixture
def windows_files() -> Iterator[list[str]]:
    """The test runs with files as Windows has them; what was refused is on the list."""
    if not Path("/proc/self/fd").exists():
        pytest.skip("only Linux tells what a process has open")
    with files_as_on_windows() as refused:
        yield refused


@pytest.fixture
def sqlite_path(sqlite_template: Path, tmp_path: Path) -> Path:
    """A fresh migrated SQLite file of this test's own."""
    return Path(shutil.copy(sqlite_template, tmp_path / "club.db"))


@pytest.fixture
def sqlite_database(sqlite_path: Path) -> Iterator[Database]:
    """The file of `sqlite_path`, opened."""
    database = Database(make_engine(str(sqlite_path)), str(sqlite_path))
    yield database
    database.close()


@pytest.fixture(scope="session")
def postgres_socket() -> Iterator[str]:
    """The socket folder of a PostgreSQL server started for this run."""
    programs = server_programs()
    if programs is None:
        reason = "PostgreSQL is not installed: apt-get install postgresql"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    with running_server(programs) as socket:
        yield socket


@pytest.fixture(scope="session")
def postgres_admin(postgres_socket: str) -> Iterator[Connection]:
    """A connection on which databases are made and dropped."""
    engine = create_engine(_url(postgres_socket, "postgres"), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        yield connection
    engine.dispose()


@pytest.fixture
def new_postgres_url(postgres_socket: str, postgres_admin: Connection) -> Iterator[Callable[[], str]]:
    """Makes an empty database on the server; gives its URL."""
    made: list[str] = []

    def make() -> str:
        name = f"club{next(_numbers)}"
        postgres_admin.exec_driver_sql(f"CREATE DATABASE {name} TEMPLATE template0")
        made.append(name)
        return _url(postgres_socket, name)

    yield make
    for name in made:
        postgres_admin.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def postgres_engine(postgres_socket: str, postgres_admin: Connection) -> Iterator[Engine]:
    """An engine on a migrated database, emptied after each test: a copy for each would cost ten times as much."""
    postgres_admin.exec_driver_sql("CREATE DATABASE shared TEMPLATE template0")
    opened = open_database(_url(postgres_socket, "shared"), NOW, quiet)
    yield opened.engine
    opened.close()


@pytest.fixture
def postgres_database(postgres_engine: Engine) -> Iterator[Database]:
    """A migrated PostgreSQL database with nothing in it."""
    yield Database(postgres_engine, postgres_engine.url.render_as_string())
    _empty(postgres_engine)


def wait_for_no_disk(dbapi: Any, _record: Any) -> None:
    """Where no test is about a disk, a commit need not wait until the data lie on it."""
    dbapi.execute("PRAGMA synchronous=OFF").close()


@pytest.fixture(scope="session")
def sqlite_engine(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """An engine on a migrated file, emptied after each test: a new engine would compile every statement again."""
    path = shutil.copy(sqlite_template, tmp_path_factory.mktemp("shared") / "club.db")
    engine = make_engine(str(path))
    event.listen(engine, "connect", wait_for_no_disk)
    yield engine
    engine.dispose()


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest) -> Iterator[Database]:
    """A migrated database with nothing in it, once on SQLite and once on PostgreSQL."""
    engine: Engine = request.getfixturevalue(
        "sqlite_engine" if request.param == "sqlite" else "postgres_engine"
    )
    yield Database(engine, engine.url.render_as_string())
    _empty(engine)


@pytest.fixture(params=["sqlite", "postgresql"])
def new_target(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A path or URL at which there is no obslog database yet."""
    if request.param == "sqlite":
        return str(tmp_path / "new.db")
    url: str = request.getfixturevalue("new_postgres_url")()
    return url


@pytest.fixture(scope="session")
def club_file(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file of the invented club: two sites, two members, a mount of each type, a tube, eyepieces; to be copied."""
    path = Path(shutil.copy(sqlite_template, tmp_path_factory.mktemp("club") / "club.db"))
    database = Database(make_engine(str(path)), str(path))
    for kind, name, values in CLUB:
        named_records.add(database, kind, name, values, NOW)
    database.close()
    return path


@pytest.fixture(scope="session")
def club_rows(club_file: Path) -> Rows:
    """The rows of the file of the invented club."""
    database = Database(make_engine(str(club_file)), str(club_file))
    rows = rows_of(database.engine)
    database.close()
    return rows


@pytest.fixture
def club(database: Database, club_rows: Rows) -> Database:
    """The database with the club of `club_rows` in it."""
    put_rows(database.engine, club_rows)
    return database


def _empty(engine: Engine) -> None:
    deletions = [f"DELETE FROM {table.name}" for table in reversed(metadata.sorted_tables)]
    with writing(engine).begin() as connection:
        # A server takes all of them on one way there and back; SQLite takes one statement at a time.
        for statement in deletions if engine.dialect.name == "sqlite" else [";".join(deletions)]:
            connection.exec_driver_sql(statement)


def _url(socket: str, name: str) -> str:
    return f"postgresql+psycopg://obslog@/{name}?host={quote(socket, safe='')}"
