"""Values as they are shown: for scripts as JSON, in a cell of a table, and as text that cannot steer a terminal."""

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime
from pathlib import PurePath
from typing import Any
from uuid import UUID

from obslog.estimate_words import interval_document
from obslog.values import Interval

_LINE_ENDS = dict.fromkeys(map(ord, "\t\n\r\v\f"), " ")


def json_document(value: object, *, any_sign: bool) -> str:
    """One JSON document; signs beyond ASCII stand in it as they are where `any_sign` can be written."""
    document = json.dumps(plain(value), indent=2, ensure_ascii=not any_sign, allow_nan=False)
    return _escaped(document)


def plain(value: object) -> Any:
    """The value as JSON has it: records as objects, instants in UTC with a Z, keys, files and words as text."""
    if isinstance(value, Interval):
        return interval_document(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, UUID | PurePath):
        return str(value)
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def shown_cell(value: object) -> str:
    """A value as it stands in a table: nothing for an unknown one, yes or no, numbers without needless digits."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, (list, tuple)):
        return ", ".join(shown_cell(item) for item in value)
    return shown(str(plain(value)), one_line=True)


def shown(text: str, *, one_line: bool = False) -> str:
    """Text that cannot steer a terminal: unprintable signs become a question mark in a diamond."""
    keep = " " if one_line else " \n"
    if one_line:
        text = text.translate(_LINE_ENDS)
    return "".join(sign if sign.isprintable() or sign in keep else "\ufffd" for sign in text)


def _escaped(document: str) -> str:
    """The JSON document with its unprintable signs (all inside its strings) written as escapes."""
    if document.replace("\n", " ").isprintable():
        return document
    return "".join(
        sign if sign.isprintable() or sign == "\n" else json.dumps(sign)[1:-1] for sign in document
    )
