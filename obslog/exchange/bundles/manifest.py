"""The first line of a bundle: who wrote it when, by which program's tables, how much it holds, and its hash."""

from datetime import datetime
from typing import Any

from msgspec import Struct, field


class Facts(Struct, frozen=True, kw_only=True):
    """What whoever writes a bundle says of it: the revision of the tables, the laptop, the time."""

    schema: str
    origin: str
    written_utc: datetime
    extra: dict[str, Any] = field(default_factory=dict)


class Manifest(Struct, frozen=True, kw_only=True):
    """The facts, and what the bundle holds: acts, changes of one record each, and records in batches."""

    schema: str
    origin: str
    written_utc: datetime
    acts: int
    changes: int
    records: int
    payload_bytes: int
    plain_bytes: int
    sha256: str
    extra: dict[str, Any] = field(default_factory=dict)
