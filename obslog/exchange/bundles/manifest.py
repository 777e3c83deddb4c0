"""The first line of a bundle: who wrote it when, by which program's tables, how much it holds, and its hash.

The hash is that of the packed contents, and behind them of the first line itself with zeros for the hash: so no bit of
the file can change unseen.
"""

import re
from datetime import UTC, datetime, timedelta
from typing import Annotated, Any

import msgspec
from msgspec import Meta, Struct, field

from obslog.exchange.bundles.errors import (
    ClockAhead,
    EmptyBundle,
    NewerBundle,
    NoBundle,
    WrongManifest,
)
from obslog.exchange.bundles.keys import is_key
from obslog.exchange.bundles.limits import LARGEST_NUMBER, LONGEST_MANIFEST
from obslog.exchange.bundles.strict_json import NotMeant, read_json
from obslog.times import YEAR

FORMAT = 1
NO_HASH = b"0" * 64
_MARK = b'{"obslog_bundle":'
_REVISION = re.compile(r"[0-9A-Za-z_]{1,40}")
_HASH = re.compile(r"[0-9a-f]{64}")
Count = Annotated[int, Meta(ge=0, le=LARGEST_NUMBER)]
_FOREIGN = (
    (b"SQLite format 3\0", "a club's database", "Write a bundle of it: obslog --db THAT-FILE bundle write FILE"),
    (b"PK\x03\x04", "a zip archive or a workbook", "Take the bundle out of the archive; a workbook: obslog import"),
    (b"\x1f\x8b", "a file packed by gzip", "Unpack it first, then give what is inside."),
    (b"%PDF", "a PDF", None),
    (b"<", "a web page or XML", None),
    (b"\x89PNG", "a picture", None),
    (b"\xff\xd8\xff", "a picture", None),
)  # fmt: skip


class Facts(Struct, frozen=True, kw_only=True):
    """What whoever writes a bundle says of it: the revision of the tables, the laptop, the time."""

    schema: str
    origin: str
    written_utc: datetime
    extra: dict[str, Any] = field(default_factory=dict)


class ManifestFields(Struct, frozen=True, kw_only=True):
    """The facts, and what the bundle holds: acts, changes of one record each, and records in batches."""

    obslog_bundle: int = FORMAT
    schema: str
    origin: str
    written_utc: Annotated[datetime, Meta(tz=True)]
    acts: Count
    changes: Count
    records: Count
    payload_bytes: Count
    plain_bytes: Count
    sha256: str


class Manifest(ManifestFields, frozen=True, kw_only=True):
    """The manifest, with what is not known of it."""

    extra: dict[str, Any] = field(default_factory=dict)


def manifest_line(manifest: Manifest, length: int = 0) -> bytes:
    """The manifest as a line, filled up with spaces to a length."""
    known = {name: getattr(manifest, name) for name in ManifestFields.__struct_fields__}
    return msgspec.json.encode({**known, **manifest.extra, **known}).ljust(length - 1) + b"\n"


def read_manifest(line: bytes, called: str, now: datetime, ahead: timedelta) -> Manifest:
    """The manifest of a first line, read to its end or to one byte more than it may have.

    Raises EmptyBundle, NoBundle, NewerBundle, WrongManifest, ClockAhead.
    """
    if not line:
        raise EmptyBundle(called)
    if not line.startswith(_MARK[: len(line)]):
        raise _foreign(line, called)
    if not line.endswith(b"\n"):
        what = (
            f"it has no end within {LONGEST_MANIFEST:,} bytes"
            if len(line) > LONGEST_MANIFEST
            else "it is cut off"
        )
        raise WrongManifest(called, what)
    manifest = _parsed(line, called)
    if manifest.written_utc - now > ahead:
        raise ClockAhead(called, "The time of writing", manifest.written_utc, now)
    return manifest


def _foreign(line: bytes, called: str) -> NoBundle:
    for start, looks_like, instead in _FOREIGN:
        if line.lstrip().startswith(start):
            return NoBundle(called, looks_like, instead)
    return NoBundle(called)


def _parsed(line: bytes, called: str) -> Manifest:
    try:
        whole = read_json(line)
    except NotMeant as error:
        raise WrongManifest(called, error.what) from error
    version = whole.get("obslog_bundle")
    if type(version) is int and version > FORMAT:
        raise NewerBundle(called, version, FORMAT)
    try:
        known = msgspec.convert(whole, ManifestFields)
    except msgspec.ValidationError as error:
        name = re.search(r"\.(\w+)`$|field `(\w+)`$", str(error))
        raise WrongManifest(
            called, f"{name[1] or name[2]} is missing or wrong" if name else "it is wrong"
        ) from error
    _check(known, called)
    fields = msgspec.structs.asdict(known) | {"written_utc": known.written_utc.astimezone(UTC)}
    return Manifest(**fields, extra={name: value for name, value in whole.items() if name not in fields})


def _check(manifest: ManifestFields, called: str) -> None:
    wrong = {
        "obslog_bundle": manifest.obslog_bundle != FORMAT,
        "schema": not _REVISION.fullmatch(manifest.schema),
        "origin": not is_key(manifest.origin),
        "written_utc": not YEAR.holds(manifest.written_utc.year),
        "sha256": not _HASH.fullmatch(manifest.sha256),
    }
    if names := [name for name, is_wrong in wrong.items() if is_wrong]:
        raise WrongManifest(called, f"{names[0]} is missing or wrong")
