"""The house is in order: formatting, types, rooms, what lies at the top, and the length of files."""

import ast
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from tests.tested_elsewhere import TESTED_ELSEWHERE

ROOT = Path(__file__).resolve().parents[1]
AT_THE_TOP = {
    "CHANGELOG.md",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "builders",
    "docs",
    "migrations",
    "mkdocs.yml",
    "obslog",
    "pyproject.toml",
    "seed_demo",
    "tests",
}
LONGEST_FILE = 400
MOST_FILES = 15
# What a subject of the command line may use of the club beyond its own room and the register, and why.
BEYOND_THEIR_OWN = {
    ("checklist", "sky"): "the brief shows how dark the evening is",
    ("targets", "sky"): "a plan of targets says how dark the night is and what the Moon does",
    ("night", "live"): "a first star far off is told of with the line that records it",
    ("night", "finding"): "most of what is found again was written of observations",
    ("performance", "landing"): "what fits and landings say together: budgets, before and after",
    (
        "performance",
        "over_time",
    ): "the commands of pointing show what the nights say together and one after the other",
    ("performance", "aligning"): "a fit may say at once which stars would settle what is not determined",
    (
        "pages",
        "overviews",
    ): "pages of the store-room, the club and members stand beside those of mounts and nights",
    ("pages", "shelves"): "the page of a stocktake is its own record, shown",
    ("open_log", "bring_in"): "observations come and go as a sheet of the club's too, by the same commands",
    ("paper", "night"): "a page is read back as nights and set-ups are shown",
    ("storeroom", "routine"): "loans go out in the club's own words and on its own terms",
    ("storeroom", "reminding"): "who is reminded of what is among the commands on loans",
    ("register", "sky"): "a new club's first page ends with how dark its evening is",
    ("register", "storeroom"): "what is registered by name is also retired by name",
}
MOST_FIELDS_BY_POSITION = 4
_ROW = "each is a row of a table in its file, under the table's head"
_ARRAYS = "arrays of one shape, often unpacked from one stack in the order that the formulas use"
# Records of more fields that may still be built by position, and why.
BUILT_BY_POSITION = {
    "obslog.fields.NumberField": _ROW,
    "obslog.club.register.rule_table.Rule": _ROW,
    "obslog.records.database.Database": "an engine and its place; all else is given by keyword",
    "obslog.pointing.model.geometry.AxisErrors": _ARRAYS,
    "obslog.pointing.model.geometry.StarPlaces": _ARRAYS,
    "obslog.sky.evening.dark_windows.Windows": _ARRAYS,
    "obslog.sky.places.apparent_places.Directions": _ARRAYS,
    "obslog.sky.places.apparent_places.Places": _ARRAYS,
    "obslog.sky.places.ephemeris.Disc": _ARRAYS,
}
CHECKS = {
    "format": ["-m", "ruff", "format", "--check", "--diff", "."],
    "lint": ["-m", "ruff", "check", "--no-cache", "."],
    "types": ["-m", "mypy", "--strict"],
    # What the library of Windows has not got, such as fcntl, is found so without one.
    "types on Windows": ["-m", "mypy", "--platform", "win32", "--cache-dir", ".mypy_cache/windows", "obslog"],
    "rooms": ["-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"],
}


def tracked_files() -> list[Path]:
    """What is under version control, or in an unpacked archive all there is."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode == 0:
        return [ROOT / name for name in listed.stdout.split("\0") if name and (ROOT / name).exists()]
    return [
        path
        for path in ROOT.rglob("*")
        if path.is_file() and not path.relative_to(ROOT).parts[0].startswith((".", "PKG-INFO"))
    ]


@pytest.mark.parametrize("check", CHECKS)
def test_the_tool_has_nothing_to_say(check: str) -> None:
    done = subprocess.run(
        [sys.executable, *CHECKS[check]], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode:
        pytest.fail(f"{done.stdout}\n{done.stderr}", pytrace=False)


def test_a_broken_rule_between_rooms_would_be_found(tmp_path: Path) -> None:
    broken = """
[[tool.importlinter.contracts]]
name = "A rule that does not hold"
type = "forbidden"
source_modules = ["obslog.club"]
forbidden_modules = ["obslog.records"]
"""
    (tmp_path / "pyproject.toml").write_text((ROOT / "pyproject.toml").read_text() + broken)
    command = [sys.executable, *CHECKS["rooms"], "--config", str(tmp_path / "pyproject.toml")]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "A rule that does not hold BROKEN" in done.stdout


def test_only_the_agreed_names_lie_at_the_top() -> None:
    found = {path.relative_to(ROOT).parts[0] for path in tracked_files()}
    assert {name for name in found if not name.startswith(".")} == AT_THE_TOP


def test_every_name_of_a_test_file_is_its_own() -> None:
    """Test files outside of packages are imported by their name alone: two of one name hide each other."""
    names = [
        path.name
        for path in tracked_files()
        if path.is_relative_to(ROOT / "tests") and path.name.startswith("test_")
        if not (path.parent / "__init__.py").exists()
    ]
    assert [name for name in set(names) if names.count(name) > 1] == []


@pytest.mark.parametrize("folder", ["obslog", "seed_demo", "tests"])
def test_no_file_grows_beyond_reading(folder: str) -> None:
    scripts = [
        path for path in tracked_files() if path.suffix == ".py" and path.is_relative_to(ROOT / folder)
    ]
    lengths = {path.relative_to(ROOT).as_posix(): len(path.read_text().splitlines()) for path in scripts}
    assert lengths
    assert {name: length for name, length in lengths.items() if length > LONGEST_FILE} == {}


def test_every_file_says_at_its_top_what_lives_there() -> None:
    scripts = [path for path in tracked_files() if path.suffix == ".py"]
    assert [
        path.relative_to(ROOT).as_posix() for path in scripts if not path.read_text().startswith('"""')
    ] == []


def test_no_folder_grows_beyond_a_look() -> None:
    scripts = [path for path in tracked_files() if path.suffix == ".py" and path.name != "__init__.py"]
    folders = Counter(
        path.relative_to(ROOT).parent.as_posix() for path in scripts if path.is_relative_to(ROOT / "obslog")
    )
    assert {folder: count for folder, count in folders.items() if count > MOST_FILES} == {}
    assert {folder for folder in folders if folder.count("/") > 2} == set()


def test_a_subject_of_the_command_line_uses_its_own_room_and_the_register() -> None:
    rooms = {path.name for path in (ROOT / "obslog" / "club").iterdir() if (path / "__init__.py").exists()}
    used: dict[tuple[str, str], str] = {}
    for path in sorted((ROOT / "obslog" / "cli").rglob("*.py")):
        subject = path.parent.name if path.parent.name != "cli" else path.stem
        for room in re.findall(r"from obslog\.club\.(\w+)", path.read_text()):
            if subject in rooms and room not in (subject, "register"):
                used[subject, room] = path.relative_to(ROOT).as_posix()
    assert {pair: path for pair, path in used.items() if pair not in BEYOND_THEIR_OWN} == {}
    assert {pair for pair in BEYOND_THEIR_OWN if pair not in used} == set(), "on the list, and not needed"


def records_built_by_position(source: str) -> list[str]:
    """The dataclasses of a module with more fields than one can tell apart by position, and not by keyword alone."""
    return [
        record.name
        for record in ast.walk(ast.parse(source))
        if isinstance(record, ast.ClassDef)
        for decorator in record.decorator_list
        if "dataclass" in ast.unparse(decorator) and "kw_only=True" not in ast.unparse(decorator)
        if sum(isinstance(line, ast.AnnAssign) for line in record.body) > MOST_FIELDS_BY_POSITION
    ]


def test_a_record_of_many_fields_is_built_by_keyword() -> None:
    found = {
        f"{'.'.join(path.relative_to(ROOT).with_suffix('').parts)}.{name}"
        for path in sorted((ROOT / "obslog").rglob("*.py"))
        for name in records_built_by_position(path.read_text())
    }
    assert found - BUILT_BY_POSITION.keys() == set(), "say kw_only=True, so that no two fields can be swapped"
    assert BUILT_BY_POSITION.keys() - found == set(), "on the list, and not needed"


def test_records_by_position_are_found() -> None:
    fields = "".join(f"    f{n}: int\n" for n in range(MOST_FIELDS_BY_POSITION + 1))
    assert records_built_by_position(f"@dataclass(frozen=True)\nclass Long:\n{fields}") == ["Long"]
    assert records_built_by_position(f"@dataclass(kw_only=True)\nclass Named:\n{fields}") == []
    assert records_built_by_position("@dataclass\nclass Short:\n    f: int\n") == []


def modules_without_a_test_of_their_name() -> set[str]:
    """The modules of `obslog/` for which `tests/` has no file of their name in the folder that mirrors theirs."""
    modules = [path.relative_to(ROOT / "obslog") for path in (ROOT / "obslog").rglob("*.py")]
    return {
        module.as_posix()
        for module in modules
        if not module.name.startswith("__")
        and not (ROOT / "tests" / module.with_name(f"test_{module.name}")).exists()
    }


def test_a_new_module_comes_with_a_test_file_of_its_name() -> None:
    alone = sorted(modules_without_a_test_of_their_name() - TESTED_ELSEWHERE.keys())
    assert alone == [], (
        "write tests/SUBJECT/test_MODULE.py; the list in tests/tested_elsewhere.py only shrinks"
    )


def test_the_list_of_what_is_tested_elsewhere_only_shrinks() -> None:
    settled = sorted(TESTED_ELSEWHERE.keys() - modules_without_a_test_of_their_name())
    assert settled == [], (
        "these have a test file by now, or are gone: strike them off tests/tested_elsewhere.py"
    )
    lost = {test for test in TESTED_ELSEWHERE.values() if not (ROOT / "tests" / test).exists()}
    assert lost == set(), "these tests are gone: say in tests/tested_elsewhere.py which hold the modules now"
