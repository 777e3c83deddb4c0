"""No command's answer hangs on what is kept: with nothing kept, all of it, or all of it damaged, it is the same."""

import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from obslog.records.opening import open_database
from tests.benchmarks.big_club import Size, make_club
from tests.cli.program import Program

NOW = datetime(2026, 3, 2, 20, tzinfo=UTC)
SITE = ("--site", "Owlpenny Edge")
LINES = [
    ("review",),
    ("review", "Bramble"),
    ("checklist", "Bramble", *SITE),
    ("brief", "--mount", "Bramble", *SITE),
    ("pointing", "trend", "Bramble", "--mechanics"),
    ("pointing", "compare", "Bramble", "Old Grumble", "Pepperpot"),
    ("pointing", "whose"),
    ("pointing", "fit", "Bramble"),
    ("pointing", "fit", "Bramble", *SITE),
    ("pointing", "stars", "Bramble", *SITE),
    ("pointing", "run-plan", "Bramble", *SITE),
    ("targets", "--mount", "Bramble", *SITE),
    ("officer", "report"),
    ("loan", "advise"),
    ("store", "show", "Bramble"),
    ("setup", "show", "Bramble"),
]


@pytest.fixture(scope="module")
def small_club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twelve mounts with twelve set-ups each."""
    path = tmp_path_factory.mktemp("kept") / "club.db"
    database = open_database(str(path), NOW, lambda _: None)
    make_club(database, date(2026, 3, 1), Size(mounts=12, setups=144, arrivals=7, years=2))
    database.close()
    return path


@pytest.fixture
def at_home(capsys: pytest.CaptureFixture[str], small_club: Path) -> Program:
    return Program(capsys, {"OBSLOG_DB": str(small_club)}, NOW)


def do_with_what_is_kept(program: Program, statement: str) -> None:
    with closing(sqlite3.connect(program.environment["OBSLOG_DB"])) as file:
        file.execute(statement)
        file.commit()


@pytest.mark.parametrize("words", LINES, ids=" ".join)
def test_every_answer_is_that_of_nothing_kept(at_home: Program, words: tuple[str, ...]) -> None:
    answers = []
    for statement in (
        "DELETE FROM kept_results",
        "SELECT 1",
        "UPDATE kept_results SET payload = x'c1'",
    ):
        do_with_what_is_kept(at_home, statement)
        answers.append((at_home(*words), at_home(*words, "--json")))
    assert answers[0][0].code == 0, answers[0][0].err
    assert [answer == answers[0] for answer in answers] == [True] * 3
