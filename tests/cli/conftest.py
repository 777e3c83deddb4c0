"""A program at hand, with an empty database, with a small club, and with a set-up that has begun."""

import io
import shutil
from collections.abc import Callable, Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Connection, make_url

from obslog.cli.main import main
from obslog.records.roles.rights import ServerRole
from tests.cli.program import Answer, Program

EVENING = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
OUTSIDE = [
    "night start|Mill Field|--with Ines",
    "setup start Heron --tube|Long tube|--observer Ines --eyepiece|Wide 25|",
    "sync Regulus 12E 5N --at 21:35||",
    "check Procyon 3E 4N --at 21:38||",
]


def typed(path: Path, lines: Sequence[str]) -> Path:
    """Type command lines into the database; between bars stands what is quoted in a shell."""
    environment = {"OBSLOG_DB": str(path), "OBSLOG_CONFIG": str(path.with_name("settings"))}
    for line in lines:
        parts = line.split("|")
        words = [
            word for n, part in enumerate(parts) for word in ([part] if n % 2 and part else part.split())
        ]
        heard = io.StringIO()
        with redirect_stdout(heard), redirect_stderr(heard):
            code = main(words, lambda: EVENING, environment)
        assert code == 0, heard.getvalue()
    return path


@pytest.fixture(scope="session")
def outside_template(club_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The club with a night open, and in it a set-up with a sync and a check, to be copied."""
    return typed(Path(shutil.copy(club_file, tmp_path_factory.mktemp("outside") / "outside.db")), OUTSIDE)


@pytest.fixture
def program(capsys: pytest.CaptureFixture[str], sqlite_path: Path, now: datetime) -> Program:
    """The program on a fresh database, on the evening of 2 March 2026."""
    environment = {"OBSLOG_DB": str(sqlite_path), "OBSLOG_CONFIG": str(sqlite_path.with_name("settings"))}
    return Program(capsys, environment, now)


@pytest.fixture
def in_club(program: Program, club_file: Path) -> Program:
    """The program where a small club is on record."""
    shutil.copy(club_file, program.environment["OBSLOG_DB"])
    return program


@pytest.fixture
def outside(program: Program, outside_template: Path) -> Program:
    """The program in the field, after a sync and a check."""
    shutil.copy(outside_template, program.environment["OBSLOG_DB"])
    return program


@pytest.fixture
def on_server(
    program: Program, new_postgres_url: Callable[[], str], postgres_admin: Connection
) -> Iterator[Program]:
    """The program on an empty database of a server; the roles that it makes there bear the name of the database."""
    url = new_postgres_url()
    club = make_url(url).database
    program.environment["OBSLOG_DB"] = url
    yield program
    postgres_admin.exec_driver_sql(f"DROP DATABASE {club} WITH (FORCE)")
    postgres_admin.exec_driver_sql(f"CREATE DATABASE {club} TEMPLATE template0")
    for name in (*(f"{club}_{role}" for role in ServerRole), f"{club} o'reilly"):
        postgres_admin.exec_driver_sql(f'DROP ROLE IF EXISTS "{name}"')


Run = Callable[..., Answer]


@pytest.fixture
def run(in_club: Program) -> Run:
    """Types a command line on the evening of 2 March 2026, 21:40, or at another time."""

    def typed(*words: str, at: datetime = EVENING) -> Answer:
        in_club.now = at
        return in_club(*words)

    return typed


@pytest.fixture
def at_heron(run: Run) -> Run:
    """Mill Field with a night open, its seeing read as programmes ask for it, and Heron set up by Ines."""
    for words in (
        ("night", "start", "Mill Field", "--with", "Ines", "--sky", "antoniadi 2"),
        ("setup", "start", "Heron", "--tube", "Long tube", "-e", "Wide 25", "--observer", "Ines", "--at", "20:00"),
    ):  # fmt: skip
        assert run(*words).code == 0
    return run
