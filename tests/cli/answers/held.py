"""An answer as JSON, held to the schema of its command: a key that the schema does not name is refused here.

The published schemas allow more keys, for a later version may add some. Here they do not, so that each new key is
written down.
"""

import sys
from collections.abc import Sequence
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

from tests.cli.commands import without_program_options

DOCS = Path(__file__).resolve().parents[3] / "docs"
sys.path.append(str(DOCS))  # where docs/make_schemas.py finds what stands beside it
make_schemas: Any = import_module("make_schemas")
schema_types: Any = import_module("schema_types")


class NotAsDescribed(AssertionError):
    """An answer that its schema does not allow."""


@cache
def schemas() -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = make_schemas.all_schemas()
    return found


def closed(schema: Any) -> Any:
    """The schema in which no object may have a key that it does not name."""
    if isinstance(schema, list):
        return [closed(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    inner = {key: closed(value) for key, value in schema.items()}
    if schema.get("type") == "object" and "properties" in schema:
        inner.setdefault("additionalProperties", False)
    return inner


@cache
def _validator(words: str) -> Any:
    from jsonschema import Draft202012Validator, FormatChecker

    schema = closed(schemas()[words])
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=FormatChecker())


def command_of(line: Sequence[str]) -> str | None:
    """The words of a line that name its command; None where it has none with --json."""
    words = without_program_options(list(line))
    return next((" ".join(words[:n]) for n in (2, 1) if " ".join(words[:n]) in schemas()), None)


def hold(line: Sequence[str], document: Any) -> None:
    """Raises NotAsDescribed where the answer to a line is not as its schema says."""
    command = command_of(line)
    if command is None:
        raise NotAsDescribed(f"no schema for {line}")
    for error in _validator(command).iter_errors(document):
        best = _deepest(error)
        raise NotAsDescribed(f"{command}: {best.json_path}: {best.message[:300]}")


def _deepest(error: Any) -> Any:
    """The fault within the alternatives that came nearest."""
    while error.context:
        error = max(error.context, key=lambda one: len(one.absolute_path))
    return error


def promised_keys_missing(command: str, record: str, keys: str) -> set[str]:
    """Which of the keys, in words, a record of the command's answer need not have."""
    return set(keys.split()) - set(schemas()[command]["$defs"][record]["required"])
