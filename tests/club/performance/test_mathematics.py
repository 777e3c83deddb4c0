"""The version of the mathematics is that of the code and the tables: what is kept never outlives a change of either."""

import ast
from hashlib import sha256
from pathlib import Path

from obslog.club.performance.mathematics import MATHEMATICS

PROGRAM = Path(__file__).resolve().parents[3] / "obslog"
COMPUTES = (
    "club/aligning/club_record.py", "club/aligning/first_star_mistakes.py", "club/checklist/first_stars.py",
    "club/landing", "club/live/kept_record.py", "club/over_time", "club/performance", "intervals.py", "packing.py",
    "pointing/budget", "pointing/joint_fit", "pointing/misfit", "pointing/mistakes", "pointing/model",
    "pointing/tonight/mount_record.py", "sky/names", "sky/places", "sky/tables", "trends", "values.py",
    "vocabulary/mounts.py",
)  # fmt: skip


def fingerprint() -> str:
    """Of all files from which results are computed, without what only people read."""
    told = sha256()
    paths = [path for name in COMPUTES for path in files_of(PROGRAM / name)]
    for path in sorted(path for path in paths if path.name != "mathematics.py"):
        told.update(path.relative_to(PROGRAM).as_posix().encode())
        told.update(code_of(path.read_text()).encode() if path.suffix == ".py" else path.read_bytes())
    return told.hexdigest()[:12]


def files_of(place: Path) -> list[Path]:
    if place.is_file():
        return [place]
    return [path for path in place.rglob("*") if path.is_file() and "__pycache__" not in path.parts]


def code_of(source: str) -> str:
    """The lines of a module without documentation, comments and empty lines."""
    said = {
        line
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
        for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)
    }
    lines = enumerate(source.splitlines(), start=1)
    return "\n".join(text for number, text in lines if number not in said and text.split("#")[0].strip())


def test_the_version_is_that_of_the_code_and_the_tables() -> None:
    assert fingerprint() == MATHEMATICS, (
        "what kept results are computed from has changed, so they have to be computed again: write "
        f'MATHEMATICS = "{fingerprint()}" into obslog/club/performance/mathematics.py'
    )


def test_every_room_that_computes_is_there() -> None:
    assert [name for name in COMPUTES if not files_of(PROGRAM / name)] == []


def test_what_only_people_read_does_not_count() -> None:
    plain = "def double(x):\n    return 2 * x\n"
    told = '"""Doubling."""\n\n# twice\ndef double(x):\n    """Two times x."""\n    return 2 * x\n'
    assert code_of(told) == code_of(plain)
    assert code_of("def double(x):\n    return 3 * x\n") != code_of(plain)
