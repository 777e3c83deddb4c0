"""Writes a bundle: the manifest in a line of its own, then a line of JSON for each entry, packed by zlib.

The manifest counts what follows it. So room is left for it, and it is written when all else is.
"""

import hashlib
import zlib
from collections.abc import Iterable
from typing import BinaryIO

import msgspec

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry, Entry
from obslog.exchange.bundles.errors import TooLarge
from obslog.exchange.bundles.limits import LARGEST_NUMBER, LIMITS, LONGEST_MANIFEST, Limits
from obslog.exchange.bundles.lines import written
from obslog.exchange.bundles.manifest import NO_HASH, Facts, Manifest, manifest_line

_QUICK = 1
"""Of zlib's levels: 6 packs records a tenth smaller, and all of the writing takes twice as long."""


def write_bundle(
    stream: BinaryIO,
    facts: Facts,
    entries: Iterable[Entry],
    *,
    called: str = "The bundle",
    limits: Limits = LIMITS,
) -> Manifest:
    """Write the entries in their order into a stream that can go back; gives the manifest.

    A batch of any length, its keys in any order, is cut into lines that a reader takes. Raises TooLarge.
    """
    start = stream.tell()
    room = len(manifest_line(_full(facts)))
    if room > LONGEST_MANIFEST:
        raise TooLarge(called, f"has a first line of more than {LONGEST_MANIFEST:,} bytes")
    stream.write(b" " * room)
    packing = _Packing(stream, called, limits)
    for entry in entries:
        packing.add(entry)
    manifest = packing.end(_full(facts))
    first = manifest_line(manifest, room)
    packing.hash.update(first)
    manifest = msgspec.structs.replace(manifest, sha256=packing.hash.hexdigest())
    end = stream.tell()
    stream.seek(start)
    stream.write(manifest_line(manifest, room))
    stream.seek(end)
    return manifest


def _full(facts: Facts) -> Manifest:
    """The facts with the largest counts, so that the room for the line is known."""
    most = LARGEST_NUMBER
    return Manifest(
        schema=facts.schema,
        origin=facts.origin,
        written_utc=facts.written_utc,
        acts=most,
        changes=most,
        records=most,
        payload_bytes=most,
        plain_bytes=most,
        sha256=NO_HASH.decode(),
        extra=facts.extra,
    )


class _Packing:
    """The contents on their way into the file: packed, hashed and counted."""

    def __init__(self, stream: BinaryIO, called: str, limits: Limits) -> None:
        self.hash = hashlib.sha256()
        self._stream, self._called, self._limits = stream, called, limits
        self._packer = zlib.compressobj(_QUICK)
        self._acts = self._changes = self._records = 0
        self._lines = self._packed = self._plain = 0

    def add(self, entry: Entry) -> None:
        if isinstance(entry, ActEntry):
            self._acts += 1
        elif isinstance(entry, ChangeEntry):
            self._changes += 1
        else:
            self._records += len(entry.ids)
        for line in written(entry, self._limits.line):
            self._lines += 1
            self._plain += len(line)
            if len(line) > self._limits.line:
                raise TooLarge(self._called, f"would have a record of more than {self._limits.line:,} bytes")
            self._put(self._packer.compress(line))

    def end(self, manifest: Manifest) -> Manifest:
        self._put(self._packer.flush())
        return msgspec.structs.replace(
            manifest,
            acts=self._acts,
            changes=self._changes,
            records=self._records,
            payload_bytes=self._packed,
            plain_bytes=self._plain,
        )

    def _put(self, data: bytes) -> None:
        self._packed += len(data)
        limits = self._limits
        if self._packed > limits.packed or self._plain > limits.unpacked or self._lines > limits.lines:
            raise TooLarge(
                self._called,
                f"would have more than {limits.packed:,} bytes, or {limits.unpacked:,} unpacked, "
                f"or {limits.lines:,} lines",
            )
        self.hash.update(data)
        self._stream.write(data)
