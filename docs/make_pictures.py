"""Makes what README and gallery.md show of the invented club: pictures in docs/pictures/, and pages for the site.

`python docs/make_pictures.py` makes the pictures. Club and clock stand still: the same program draws the same ones.
"""

import io
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path

HERE = Path(__file__).resolve().parent
FOLDER = HERE / "pictures"
LAST_NIGHT = "2026-10-31"
NOW = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
SITE = ("--site", "Owlpenny Edge")
EVENING = ("--at", "2026-11-25T20:00Z")
# The name of the picture, and the command that draws it.
PICTURES = {
    "trend-bramble": ("pointing", "trend", "Bramble"),
    "budget-old-grumble": ("pointing", "budget", "Old Grumble"),
    "whose": ("pointing", "whose"),
    "fit-silver-heron": ("pointing", "fit", "Silver Heron"),
    "compare-bramble": ("pointing", "compare", "Bramble", "--year", "2026"),
    "targets": ("targets", *SITE, *EVENING, "--list", "messier", "--most", "12"),
    "sky-when": ("sky", "when", "M 31", *SITE, *EVENING),
    "sky-pole": ("sky", "pole", *SITE, *EVENING),
}


def draw(folder: Path) -> None:
    """Draw all pictures into a folder."""
    with _club() as environment:
        for name, words in PICTURES.items():
            _run(environment, *words, "--picture", str(folder / f"{name}.svg"))


def write_pages(folder: Path) -> None:
    """Write the pages of the club into a folder."""
    with _club() as environment:
        _run(environment, "page", "all", "--out", str(folder))


@contextmanager
def _club() -> Iterator[dict[str, str]]:
    """The environment in which the club is on record."""
    with tempfile.TemporaryDirectory() as scratch:
        database = str(Path(scratch) / "club.db")
        environment = {"OBSLOG_DB": database, "OBSLOG_CONFIG": scratch}
        _run(environment, "demo", "--into", database, "--until", LAST_NIGHT)
        yield environment


def _run(environment: dict[str, str], *words: str) -> None:
    """Run a command of the program, quietly; ends with what it says where it does not succeed."""
    from obslog.cli.main import main

    said = io.StringIO()
    with redirect_stdout(said), redirect_stderr(said):
        code = main(words, lambda: NOW, environment)
    if code != 0:
        raise SystemExit(f"obslog {' '.join(words)} ended with {code}:\n{said.getvalue()}")


if __name__ == "__main__":
    sys.path.insert(0, str(HERE.parent))
    FOLDER.mkdir(exist_ok=True)
    draw(FOLDER)
