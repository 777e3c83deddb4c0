"""Values as the cells of a sheet, a column at a time: what is unknown is an empty cell, what is a text is guarded.

Values come as a database's driver gives them: SQLite keeps keys, days and instants as text, a server as themselves.
"""

from base64 import b64encode
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from obslog.exchange.formula_guard import guarded
from obslog.exchange.package.tables import Holds

_WHOLE_SECOND = ".000000Z"


def written_cells(holds: Holds, values: Sequence[Any]) -> list[str]:
    write = _WRITERS[holds]
    return ["" if value is None else write(value) for value in values]


def _key(value: str | UUID) -> str:
    return value if isinstance(value, str) else str(value)


def _instant(value: str | datetime) -> str:
    """Universal time with a Z, with a fraction of a second only where there is one."""
    if isinstance(value, datetime):
        value = f"{value.astimezone(UTC).replace(tzinfo=None).isoformat(timespec='microseconds')}Z"
    return f"{value[: -len(_WHOLE_SECOND)]}Z" if value.endswith(_WHOLE_SECOND) else value


def _day(value: str | date) -> str:
    return value if isinstance(value, str) else value.isoformat()


def _yes_no(value: bool | int) -> str:
    return "true" if value else "false"


def _bytes(value: bytes | memoryview) -> str:
    """Base64 (RFC 4648), guarded as any text, for it may begin with a plus sign."""
    return guarded(b64encode(value).decode("ascii"))


_WRITERS: dict[Holds, Callable[[Any], str]] = {
    Holds.KEY: _key,
    Holds.INSTANT: _instant,
    Holds.DAY: _day,
    Holds.YES_NO: _yes_no,
    Holds.WORD: str,
    Holds.WHOLE: str,
    Holds.NUMBER: repr,
    Holds.TEXT: guarded,
    Holds.BYTES: _bytes,
}
