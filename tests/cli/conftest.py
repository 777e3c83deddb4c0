"""A program at hand, with an empty database, with a small club, and with a set-up that has begun."""

import io
import shutil
from collections.abc import Callable, Sequence
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path

import pytest

from obslog.cli.main import main
from tests.cli.program import Answer, Program

EVENING = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
CLUB = [
    "site add|Mill Field|--lat 52.2 --lon 0.12 --elevation-m 20 --tz Europe/London",
    "member add|Ines|",
    "mount add|Heron|--type german --controller shift",
    "tube add|Long tube|--aperture-mm 212 --focal-mm 1000",
    "eyepiece add|Wide 25|--focal-mm 25 --field-deg 53",
]
OUTSIDE = [
    "night start|Mill Field|--with Ines",
    "setup start Heron --tube|Long tube|--observer Ines --eyepiece|Wide 25|",
    "sync Regulus 12E 5N --at 21:35||",
    "check Procyon 3E 4N --at 21:38||",
]


def typed(path: Path, lines: Sequence[str]) -> Path:
    """Type command lines into the database; between bars stands what is quoted in a shell."""
    for line in lines:
        parts = line.split("|")
        words = [
            word for n, part in enumerate(parts) for word in ([part] if n % 2 and part else part.split())
        ]
        heard = io.StringIO()
        with redirect_stdout(heard), redirect_stderr(heard):
            code = main(words, lambda: EVENING, {"OBSLOG_DB": str(path)})
        assert code == 0, heard.getvalue()
    return path


@pytest.fixture(scope="session")
def club_template(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with a site, a member, a mount, a tube and an eyepiece, to be copied."""
    return typed(Path(shutil.copy(sqlite_template, tmp_path_factory.mktemp("club") / "club.db")), CLUB)


@pytest.fixture(scope="session")
def outside_template(club_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The club with a night open, and in it a set-up with a sync and a check, to be copied."""
    return typed(Path(shutil.copy(club_template, tmp_path_factory.mktemp("outside") / "outside.db")), OUTSIDE)


@pytest.fixture
def program(capsys: pytest.CaptureFixture[str], sqlite_path: Path, now: datetime) -> Program:
    """The program on a fresh database, on the evening of 2 March 2026."""
    return Program(capsys, {"OBSLOG_DB": str(sqlite_path)}, now)


@pytest.fixture
def in_club(program: Program, club_template: Path) -> Program:
    """The program where a small club is on record."""
    shutil.copy(club_template, program.environment["OBSLOG_DB"])
    return program


@pytest.fixture
def outside(program: Program, outside_template: Path) -> Program:
    """The program in the field, after a sync and a check."""
    shutil.copy(outside_template, program.environment["OBSLOG_DB"])
    return program


TYPED_CLUB: list[Sequence[str]] = [
    ("site", "add", "Mill Field", "--lat", "52.2", "--lon", "0.12", "--tz", "Europe/London"),
    ("member", "add", "Ines"),
    ("member", "add", "Tomasz"),
    ("mount", "add", "Heron", "--type", "german", "--controller", "shift"),
    ("tube", "add", "Long tube", "--aperture-mm", "212", "--focal-mm", "1000"),
    ("eyepiece", "add", "Wide 25", "--focal-mm", "25", "--field-deg", "53", "--field-stop-mm", "21.6"),
]


Run = Callable[..., Answer]


@pytest.fixture
def run(sqlite_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Types a command line on the evening of 2 March 2026, 21:40, or at another time."""

    program = Program(capsys, {"OBSLOG_DB": str(sqlite_path)}, EVENING)

    def typed(*words: str, at: datetime = EVENING) -> Answer:
        program.now = at
        return program(*words)

    for line in TYPED_CLUB:
        assert typed(*line).code == 0
    return typed
