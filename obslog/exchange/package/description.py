"""The description of the folder, datapackage.json: what each sheet is, its columns, keys and references, its facts.

Written after the Frictionless Data Package standard, version 2 (Data Package, Data Resource, Table Dialect, Table
Schema). `rows` of a resource and what stands under `obslog` are this program's own, as the standard allows.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from obslog.exchange.package.sheet_file import FileFacts
from obslog.exchange.package.tables import Holds, SheetColumn, SheetTable
from obslog.fields import NumberField, TextField

DESCRIPTION = "datapackage.json"
OWN = "obslog"
_PROFILES = "https://datapackage.org/profiles/2.0"
_DIALECT = {
    "delimiter": ",",
    "lineTerminator": "\r\n",
    "quoteChar": '"',
    "doubleQuote": True,
    "skipInitialSpace": False,
    "header": True,
}
_TYPES: dict[Holds, dict[str, str]] = {
    Holds.KEY: {"type": "string", "format": "uuid"},
    Holds.INSTANT: {"type": "datetime", "format": "default"},
    Holds.DAY: {"type": "date", "format": "default"},
    Holds.YES_NO: {"type": "boolean"},
    Holds.WORD: {"type": "string"},
    Holds.WHOLE: {"type": "integer"},
    Holds.NUMBER: {"type": "number"},
    Holds.TEXT: {"type": "string"},
    Holds.BYTES: {"type": "string", "format": "binary"},
}
_HOW_WRITTEN = (
    "A whole club's records, a sheet for each table. An empty cell means that nothing is known. A text that begins "
    "with = + - @, a tab or a line end, after any number of apostrophes, has one apostrophe more before it, so that no "
    "spreadsheet takes it for a formula; so has an empty text. Take one apostrophe off such a text to have it as it is."
)


def description_of(
    sheets: Sequence[tuple[SheetTable, FileFacts]],
    *,
    created_utc: str,
    version: str,
    revision: str,
    left_out: Mapping[str, str],
) -> dict[str, Any]:
    """The document; `left_out` says of each table and column that is not in the folder why."""
    present = {table.name for table, _ in sheets}
    return {
        "$schema": f"{_PROFILES}/datapackage.json",
        "name": "obslog-club",
        "title": "The records of an astronomy club",
        "description": _HOW_WRITTEN,
        "created": created_utc,
        OWN: {"version": version, "revision": revision, "left_out": dict(left_out)},
        "resources": [_resource(table, facts, present) for table, facts in sheets],
    }


def _resource(table: SheetTable, facts: FileFacts, present: set[str]) -> dict[str, Any]:
    return {
        "name": table.name,
        "type": "table",
        "path": table.file,
        "description": table.meaning,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": facts.bytes,
        "hash": f"sha256:{facts.sha256}",
        "rows": facts.rows,
        "dialect": _DIALECT,
        "schema": _schema(table, present),
    }


def _schema(table: SheetTable, present: set[str]) -> dict[str, Any]:
    schema: dict[str, Any] = {
        "fields": [_field(column) for column in table.columns],
        "missingValues": [""],
        "primaryKey": list(table.key),
    }
    if table.unique:
        schema["uniqueKeys"] = [list(columns) for columns in table.unique]
    references = [
        {
            "fields": [reference.column],
            "reference": {
                "resource": "" if reference.table == table.name else reference.table,
                "fields": [reference.table_column],
            },
        }
        for reference in table.references
        if reference.table in present
    ]
    if references:
        schema["foreignKeys"] = references
    return schema


def _field(column: SheetColumn) -> dict[str, Any]:
    constraints: dict[str, Any] = {}
    if column.needed:
        constraints["required"] = True
    if column.unique:
        constraints["unique"] = True
    if column.words:
        constraints["enum"] = list(column.words)
    if isinstance(column.rule, NumberField):
        whole = column.holds is Holds.WHOLE
        low, high = column.rule.low, column.rule.high
        constraints |= {"minimum": int(low) if whole else low, "maximum": int(high) if whole else high}
    field = {"name": column.name, **_TYPES[column.holds], "description": _told(column)}
    return field | ({"constraints": constraints} if constraints else {})


def _told(column: SheetColumn) -> str:
    """What the column means, with its unit or its longest text."""
    rule = column.rule
    if isinstance(rule, NumberField) and rule.unit:
        return f"{column.meaning} In {rule.unit}." if rule.unit.isalpha() else f"{column.meaning} {rule.unit}"
    if isinstance(rule, TextField):
        return f"{column.meaning} At most {rule.longest} characters."
    return column.meaning
