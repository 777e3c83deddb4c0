"""The texts that stand in the sources, for tests that hold them to rules."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.cli.commands import VALUE

ROOT = Path(__file__).resolve().parents[2]
SOURCES = sorted((ROOT / "obslog").rglob("*.py"))
PAGES = [
    page
    for page in (ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md")))
    if page.name != "commands.md"
]
KIND = "\x02"  # stands for a kind of item that a text holds only while the program runs


@cache
def texts(path: Path) -> tuple[tuple[int, str], ...]:
    """Every text in a source with its line, those made at run time with a placeholder for each value; no docstrings.

    Each source is read once: half a dozen tests go through all of them.
    """
    return tuple(_texts_of(list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))))


def _texts_of(nodes: list[ast.AST]) -> Iterator[tuple[int, str]]:
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    docstrings = {
        id(node.body[0].value)
        for node in nodes
        if isinstance(node, documented) and node.body and isinstance(node.body[0], ast.Expr)
    }
    made = [node for node in nodes if isinstance(node, ast.JoinedStr)]
    parts = {id(part) for node in made for part in node.values if isinstance(part, ast.Constant)}
    elsewhere = docstrings | parts
    for node in nodes:
        if isinstance(node, ast.JoinedStr):
            yield node.lineno, "".join(_part(part) for part in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in elsewhere:
            yield node.lineno, node.value


def _part(part: ast.expr) -> str:
    if isinstance(part, ast.Constant):
        return str(part.value)
    assert isinstance(part, ast.FormattedValue)
    return KIND if isinstance(part.value, ast.Name) and part.value.id == "kind" else VALUE
