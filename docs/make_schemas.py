"""Makes the JSON schemas of every answer that --json gives, from the types of what the commands return.

Run it as `python docs/make_schemas.py`. A file a command in docs/json/, named by its words.
"""

import json
import sys
import typing
from collections.abc import Iterator
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
FOLDER = HERE / "json"
PAGE = HERE / "json-schemas.md"
HEAD = """# JSON schemas

What each command prints with `--json`, as a schema after JSON Schema, draft 2020-12. [Answers as JSON](json.md) says
how they are written and what will stay. Made by `python docs/make_schemas.py` from the program's own types.

| command | schema |
|---|---|
"""
TAIL = """
**Next:** [All commands](commands.md), as `--help` says them.
"""
DRAFT = "https://json-schema.org/draft/2020-12/schema"


def all_schemas() -> dict[str, dict[str, Any]]:
    """The schema of each command that takes --json, by the words of the command."""
    return {" ".join(words): schema_of(words, run) for words, run in commands_with_json()}


def commands_with_json() -> Iterator[tuple[tuple[str, ...], Any]]:
    from typer.main import get_command

    from obslog.cli.app import app

    yield from _within(get_command(app), ())


def _within(command: Any, words: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    inner = getattr(command, "commands", None)
    if inner is None and any("--json" in parameter.opts for parameter in command.params):
        yield words, command.callback
    for name, sub in (inner or {}).items():
        yield from _within(sub, (*words, name))


def schema_of(words: tuple[str, ...], run: Any) -> dict[str, Any]:
    """The schema of what a command prints."""
    from schema_types import Schemas

    schemas = Schemas()
    body = schemas.of(answer_type(words, run))
    return {
        "$schema": DRAFT,
        "title": f"obslog {' '.join(words)} --json",
        "description": " ".join((run.__doc__ or "").strip().split("\n\n")[0].split()),
        **body,
        **({"$defs": schemas.definitions} if schemas.definitions else {}),
    }


def answer_type(words: tuple[str, ...], run: Any) -> Any:
    """The type of what is printed: on the list of those that have to be named, or what the command says it returns.

    Where only the first of what it returns is printed, it is the type of that.
    """
    from schema_types import hints_of

    from obslog.cli.answers.by_command import ANSWERS
    from obslog.cli.terminal.command import first_of

    named = ANSWERS.get(" ".join(words))
    if named is not None:
        return named
    function, document = run.makes
    if document is first_of:
        return typing.get_args(hints_of(function)["return"])[0]
    return hints_of(document or function)["return"]


def file_of(words: str) -> str:
    return f"{words.replace(' ', '-')}.schema.json"


def page() -> str:
    """The page that leads to all of them."""
    lines = [f"| `obslog {words}` | [{file_of(words)}](json/{file_of(words)}) |\n" for words in all_schemas()]
    return "".join((HEAD, *lines, TAIL))


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    schemas = all_schemas()
    for words, schema in schemas.items():
        (FOLDER / file_of(words)).write_text(f"{json.dumps(schema, indent=1)}\n", encoding="utf-8")
    for path in FOLDER.glob("*.schema.json"):
        if path.name not in {file_of(words) for words in schemas}:
            path.unlink()
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    sys.path[:0] = [str(HERE.parent), str(HERE)]
    main()
