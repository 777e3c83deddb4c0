"""Reads a bundle line by line; whoever wrote it is not trusted, and what it costs is bounded before it is paid."""

import hashlib
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry, Entry
from obslog.exchange.bundles.entry_checks import EntryReader
from obslog.exchange.bundles.errors import (
    Bomb,
    CannotUnpack,
    CutOff,
    Damaged,
    MoreBehind,
    TooLarge,
    UntrueManifest,
    WrongEntry,
)
from obslog.exchange.bundles.limits import LIMITS, LONGEST_MANIFEST, Limits
from obslog.exchange.bundles.manifest import NO_HASH, Manifest, read_manifest

_PIECE = 64 * 1024
_LITTLE = 1024**2
"""What may be unpacked of the smallest bundle, for a few lines that are alike pack very well."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """A bundle whose bytes are those that were written. `entries` can be gone through once.

    An entry that cannot be meant is met only on the way: take them in within one transaction.
    """

    manifest: Manifest
    entries: Iterator[Entry]


def read_bundle(
    stream: BinaryIO, now: datetime, *, called: str = "The bundle", limits: Limits = LIMITS
) -> Bundle:
    """Look at the manifest and at the hash of all that follows it, then hand out the entries in their order.

    `called` is how errors call the file. The stream is gone through twice, so it must be able to go back.
    Raises BrokenBundle, as the iterator does too.
    """
    first = stream.readline(LONGEST_MANIFEST + 1)
    manifest = read_manifest(first, called, now, limits.ahead)
    _check_sizes(manifest, called, limits)
    zeroed = first.replace(manifest.sha256.encode(), NO_HASH)
    start = stream.tell()
    _check_hash(stream, manifest, zeroed, called)
    stream.seek(start)
    lines = _lines(_unpacked(stream, manifest, zeroed, called), called, limits)
    return Bundle(manifest, _entries(lines, manifest, EntryReader(called, now, limits), called))


def _check_sizes(manifest: Manifest, called: str, limits: Limits) -> None:
    if manifest.payload_bytes > limits.packed:
        raise TooLarge(called, f"has more than {limits.packed:,} bytes")
    if manifest.plain_bytes > limits.unpacked:
        raise TooLarge(called, f"has more than {limits.unpacked:,} bytes unpacked")
    if manifest.plain_bytes > max(manifest.payload_bytes * limits.ratio, _LITTLE):
        raise Bomb(called, limits.ratio)


def _check_hash(stream: BinaryIO, manifest: Manifest, zeroed: bytes, called: str) -> None:
    hashed, there = hashlib.sha256(), 0
    while piece := stream.read(min(_PIECE, manifest.payload_bytes - there)):
        hashed.update(piece)
        there += len(piece)
    if there < manifest.payload_bytes:
        raise CutOff(called, there, manifest.payload_bytes)
    if stream.read(1):
        raise MoreBehind(called)
    hashed.update(zeroed)
    if hashed.hexdigest() != manifest.sha256:
        raise Damaged(called)


def _entries(lines: Iterator[bytes], manifest: Manifest, reader: EntryReader, called: str) -> Iterator[Entry]:
    said = {"act": manifest.acts, "change": manifest.changes, "record": manifest.records}
    found = dict.fromkeys(said, 0)
    for number, line in enumerate(lines, start=1):
        entry = reader.entry(line, number)
        if isinstance(entry, ActEntry):
            found["act"] += 1
        elif isinstance(entry, ChangeEntry):
            found["change"] += 1
        else:
            found["record"] += len(entry.ids)
        yield entry
    for what, count in found.items():
        if count != said[what]:
            raise UntrueManifest(called, what, said[what], count)


def _lines(pieces: Iterator[bytes], called: str, limits: Limits) -> Iterator[bytes]:
    """The lines without their ends, each whole."""
    begun: list[bytes] = []
    length = number = 0
    for piece in pieces:
        *ended, rest = piece.split(b"\n")
        for part in ended:
            number += 1
            if number > limits.lines:
                raise TooLarge(called, f"has more than {limits.lines:,} lines")
            if length + len(part) >= limits.line:
                raise _too_long(called, number, limits)
            yield b"".join([*begun, part])
            begun, length = [], 0
        begun.append(rest)
        length += len(rest)
        if length >= limits.line:
            raise _too_long(called, number + 1, limits)
    if length:
        raise WrongEntry(called, number + 1, "it has no end")


def _too_long(called: str, number: int, limits: Limits) -> WrongEntry:
    return WrongEntry(called, number, f"it has more than {limits.line:,} bytes")


def _unpacked(stream: BinaryIO, manifest: Manifest, zeroed: bytes, called: str) -> Iterator[bytes]:
    """The contents in pieces, never more of them than the manifest says.

    They are hashed once more, for a file in a shared folder may have changed since they were looked at.
    """
    hashed = hashlib.sha256()
    unpacker, plain, left = zlib.decompressobj(), 0, manifest.payload_bytes
    while left and not unpacker.eof:
        data = stream.read(min(_PIECE, left))
        if not data:
            raise CutOff(called, manifest.payload_bytes - left, manifest.payload_bytes)
        hashed.update(data)
        left -= len(data)
        for piece in _pieces(unpacker, data, called):
            plain += len(piece)
            if plain > manifest.plain_bytes:
                raise UntrueManifest(called, "unpacked byte", manifest.plain_bytes)
            yield piece
    if not unpacker.eof or unpacker.unused_data or left:
        raise CannotUnpack(called)
    hashed.update(zeroed)
    if hashed.hexdigest() != manifest.sha256:
        raise Damaged(called)
    if plain != manifest.plain_bytes:
        raise UntrueManifest(called, "unpacked byte", manifest.plain_bytes, plain)


def _pieces(unpacker: "zlib._Decompress", data: bytes, called: str) -> Iterator[bytes]:
    """What the data unpacks to, at most 64 KiB at once; some may be left though all data has been taken."""
    while True:
        try:
            piece = unpacker.decompress(data, _PIECE)
        except zlib.error as error:
            raise CannotUnpack(called) from error
        yield piece
        data = unpacker.unconsumed_tail
        if unpacker.eof or (not data and len(piece) < _PIECE):
            return
