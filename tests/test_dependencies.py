"""What is declared is used, and what is used is declared: for users, and for who works on obslog.

A user has only what `dependencies` names; tests and builders may use what the extras name besides.
"""

import ast
import re
import sys
import tomllib
from collections.abc import Iterable, Iterator, Set
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
SHIPPED = ("obslog", "seed_demo", "migrations")
WORKSHOP = ("tests", "builders", "docs")
OURS = {*SHIPPED, *WORKSHOP, *(path.stem for path in (ROOT / "docs").glob("*.py"))}

# What is used without an import: the file that uses it, and the words by which it does.
USED_OTHERWISE = {
    "tzdata": ("obslog/times.py", "ZoneInfo("),  # zoneinfo looks there where the system has no time zones
    "frictionless": ("tests/cli/whole_club/test_folder_of_sheets.py", "from frictionless import validate"),
    "uharfbuzz": ("obslog/report/forms/canvas.py", "set_text_shaping("),  # fpdf2 joins letters with it
    "psycopg": ("obslog/records/engine.py", "postgresql+psycopg"),
    "build": ("tests/test_wheel.py", '"-m", "build"'),
    "hatchling": ("pyproject.toml", 'build-backend = "hatchling.build"'),
    "import-linter": ("tests/test_house.py", "importlinter.cli"),
    "mkdocs-material": ("mkdocs.yml", "name: material"),
    "mypy": ("tests/test_house.py", "mypy"),
    "ruff": ("tests/test_house.py", "ruff"),
    "pyongc": ("builders/make_deepsky.py", 'distribution("pyongc")'),  # its database is read as a file
    "pytest-cov": ("README.md", "pytest --cov"),
    "pytest-randomly": ("DEVELOPERS.md", "--randomly-seed="),
    "pytest-xdist": ("README.md", "-n auto"),
}


def name_of(requirement: str) -> str:
    """The name of a requirement as packages are compared by: `psycopg[binary]>=3.2` is psycopg."""
    match = re.match(r"[\w.-]+", requirement)
    assert match is not None
    return match[0].replace("_", "-").casefold()


def declared_for_users() -> set[str]:
    return {name_of(requirement) for requirement in PROJECT["dependencies"]}


def declared_besides() -> set[str]:
    extras = PROJECT["optional-dependencies"].values()
    names = {name_of(requirement) for extra in extras for requirement in extra}
    return names - {PROJECT["name"]}


def is_optional(node: ast.Try) -> bool:
    """Whether the import in it is one that may fail."""
    caught = {ast.unparse(handler.type) for handler in node.handlers if handler.type}
    return bool(caught & {"ImportError", "ModuleNotFoundError"})


def imported_in(tree: ast.AST) -> Iterator[str]:
    """The outermost names that a module imports, but for those it can do without, or needs for its types alone."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Try) and is_optional(node):
            continue
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            yield (node.module or "").split(".")[0]
        else:
            yield from imported_in(node)


def imported_by(folders: Iterable[str]) -> set[str]:
    files = [file for folder in folders for file in (ROOT / folder).rglob("*.py")]
    assert files
    found = {name for file in files for name in imported_in(ast.parse(file.read_text(encoding="utf-8")))}
    return found - OURS - sys.stdlib_module_names


def packages_of(modules: Iterable[str]) -> dict[str, set[str]]:
    """The packages that bring each module; one that is not installed is taken to be called as its module is."""
    known = packages_distributions()
    return {module: {name_of(package) for package in known.get(module, [module])} for module in modules}


def unused(declared: Set[str], modules: Iterable[str]) -> set[str]:
    used = {package for packages in packages_of(modules).values() for package in packages}
    return set(declared - used - USED_OTHERWISE.keys())


def undeclared(declared: Set[str], modules: Iterable[str]) -> set[str]:
    return {module for module, packages in packages_of(modules).items() if not packages & declared}


def test_what_users_install_is_imported_by_what_they_run() -> None:
    assert unused(declared_for_users(), imported_by(SHIPPED)) == set()


def test_what_is_shipped_imports_only_what_users_install() -> None:
    assert undeclared(declared_for_users(), imported_by(SHIPPED)) == set()


def test_what_the_extras_bring_is_used_in_the_workshop() -> None:
    assert unused(declared_besides(), imported_by(WORKSHOP)) == set()


def test_tests_and_builders_import_only_what_is_declared() -> None:
    declared = declared_for_users() | declared_besides()
    assert undeclared(declared, imported_by(WORKSHOP)) == set()


@pytest.mark.parametrize("package", USED_OTHERWISE)
def test_what_is_used_without_an_import_is_still_used_and_declared(package: str) -> None:
    file, words = USED_OTHERWISE[package]
    assert words in (ROOT / file).read_text(encoding="utf-8")
    assert package in declared_for_users() | declared_besides()


def test_each_package_that_users_install_is_explained() -> None:
    page = (ROOT / "docs" / "data.md").read_text(encoding="utf-8").casefold()
    rows = " ".join(line.split("|")[1] for line in page.splitlines() if line.startswith("|"))
    assert [name for name in sorted(declared_for_users()) if name not in rows] == []


def test_one_too_many_and_one_too_few_would_be_noticed() -> None:
    assert unused({"numpy", "jinja2"}, {"numpy"}) == {"jinja2"}
    assert undeclared({"numpy"}, {"numpy", "jinja2"}) == {"jinja2"}
    source = """
import numpy.linalg
try:
    import astropy
except ImportError:
    pass
def f():
    from jinja2 import Template
"""
    assert set(imported_in(ast.parse(source))) == {"numpy", "jinja2"}
