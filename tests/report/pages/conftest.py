"""Pages of the demo club, each written once through the program, for all tests that only look at them."""

from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, date, datetime
from io import StringIO
from pathlib import Path
from shutil import copy

import pytest

from obslog.cli.main import main
from obslog.records.database import Database
from obslog.records.engine import make_engine
from seed_demo.load import fill

LAST_NIGHT = date(2026, 10, 31)
NOON_AFTER = datetime(2026, 11, 1, 12, tzinfo=UTC)
PAGES = {
    "mount": ("page", "mount", "Bramble"),
    "night": ("page", "night", "2026-10-11"),
    "store": ("page", "store"),
    "member": ("page", "member", "Maud Ellery"),
    "club": ("page", "club"),
    "stocktake": ("page", "stocktake"),
}
"""A page of each kind, and the command line that writes it."""

Written = Callable[..., Path]


def run_program(database: Path, *words: str, now: datetime = NOON_AFTER) -> None:
    """One command line, which has to succeed."""
    heard = StringIO()
    with redirect_stdout(heard), redirect_stderr(heard):
        code = main(words, lambda: now, {"OBSLOG_DB": str(database), "OBSLOG_CONFIG": f"{database}.settings"})
    assert code == 0, heard.getvalue()


@pytest.fixture(scope="session")
def demo_file(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo club on record, with a stocktake that has begun, to be looked at only."""
    path = Path(copy(sqlite_template, tmp_path_factory.mktemp("demo") / "demo.db"))
    database = Database(make_engine(str(path)), str(path))
    fill(database, LAST_NIGHT, NOON_AFTER, lambda _done: None)
    database.close()
    run_program(path, "stocktake", "start", "--member", "Maud Ellery")
    run_program(path, "stocktake", "saw", "Bramble", "Heron", "a red torch", "--place", "attic")
    return path


@pytest.fixture(scope="session")
def written(demo_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Written:
    """Writes the page of that kind the first time it is asked for; gives its file."""
    folder = tmp_path_factory.mktemp("pages")

    def page_of(kind: str) -> Path:
        path = folder / f"{kind}.html"
        if not path.exists():
            run_program(demo_file, *PAGES[kind], "--out", str(path))
        return path

    return page_of
