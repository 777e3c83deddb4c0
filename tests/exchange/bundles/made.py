"""Bundles for tests: entries that say something, and any bytes given a right hash, so that only they are wrong."""

import hashlib
import json
import zlib
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from io import BytesIO
from typing import Any

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.exchange.bundles.limits import LIMITS, Limits
from obslog.exchange.bundles.manifest import Facts, Manifest
from obslog.exchange.bundles.reading import read_bundle
from obslog.exchange.bundles.writing import write_bundle

NOW = datetime(2026, 11, 29, 1, 0, tzinfo=UTC)
CALLED = "ann.obslog"
ORIGIN = "7f3c2b1a-0000-4000-8000-00000000abcd"
FACTS = Facts(schema="0012", origin=ORIGIN, written_utc=NOW)


def key(number: int, at: datetime = NOW) -> str:
    """A key of version 7: the milliseconds since 1970 in 48 bits, then a number."""
    milliseconds = f"{(at - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1):012x}"
    return f"{milliseconds[:8]}-{milliseconds[8:]}-7000-8000-{number:012x}"


ACT = ActEntry(id=key(1), at_utc=NOW, sentence="added the mount 'Old Faithful'", who="Ann", origin=ORIGIN)
CHANGE = ChangeEntry(
    id=key(2),
    act_id=ACT.id,
    record_kind="Mount",
    record_id=key(3),
    before={"id": key(3), "name": "Faithful", "worth": 120.5, "retired_on": None},
    after={"id": key(3), "name": "Old Faithful", "worth": 120.5, "retired_on": "2026-11-28"},
)
BATCH = BatchEntry(
    id=key(4),
    act_id=ACT.id,
    record_kind="Arrival",
    what="added",
    columns=("id", "target", "offset_east_arcmin"),
    ids=[key(5), key(6)],
    rows=[[key(5), "Vega", 3.25], [key(6), "Deneb", None]],
)
ENTRIES: tuple[Entry, ...] = (ACT, CHANGE, BATCH)


def bundle_of(entries: Sequence[Entry], facts: Facts = FACTS) -> bytes:
    stream = BytesIO()
    write_bundle(stream, facts, entries)
    return stream.getvalue()


def read(data: bytes, limits: Limits = LIMITS, now: datetime = NOW) -> tuple[Manifest, list[Entry]]:
    """All of a bundle."""
    bundle = read_bundle(BytesIO(data), now, called=CALLED, limits=limits)
    return bundle.manifest, list(bundle.entries)


def lines_of(data: bytes) -> list[bytes]:
    """The lines of the contents, without their ends."""
    return zlib.decompress(data.partition(b"\n")[2]).splitlines()


def with_contents(plain: bytes, packed: bytes | None = None, **said: Any) -> bytes:
    """A bundle of these contents under an honest manifest, but for what is `said` otherwise; its hash is right."""
    payload = zlib.compress(plain) if packed is None else packed
    words = [line[:9] for line in plain.splitlines()]
    manifest = {
        "obslog_bundle": 1,
        "schema": "0012",
        "origin": ORIGIN,
        "written_utc": "2026-11-29T01:00:00Z",
        "acts": sum(word.startswith(b'["act"') for word in words),
        "changes": sum(word.startswith(b'["change') for word in words),
        "records": 0,
        "payload_bytes": len(payload),
        "plain_bytes": len(plain),
        **said,
        "sha256": "0" * 64,
    }
    return hashed(json.dumps(manifest, separators=(",", ":")).encode(), payload)


def hashed(first: bytes, payload: bytes) -> bytes:
    """The two put together, the 64 zeros of the first line replaced by the hash."""
    right = hashlib.sha256(payload + first + b"\n").hexdigest()
    return first.replace(b"0" * 64, right.encode()) + b"\n" + payload


def with_lines(*lines: Any, **said: Any) -> bytes:
    """A bundle of these lines, each given as bytes or as what is written as JSON."""
    written = [line if isinstance(line, bytes) else json.dumps(line).encode() for line in lines]
    return with_contents(b"".join(line + b"\n" for line in written), **said)
