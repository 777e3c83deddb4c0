"""Many records of one kind in one entry of the history: their keys, and where they were removed their images, packed.

Keys are text as SQLite stores them. Packed they lie in order, sixteen bytes each, so that one is found by halving.
"""

import json
import zlib
from collections.abc import Sequence
from typing import Any
from uuid import UUID

KEY_BYTES = 16
_LEVEL = 1  # of the compression: a higher one makes images a tenth smaller, and takes three times as long


def packed_keys(keys: Sequence[str]) -> bytes:
    """Keys in their order, sixteen bytes each."""
    return bytes.fromhex("".join(keys).replace("-", ""))


def unpacked_keys(packed: bytes) -> list[str]:
    digits, width = packed.hex(), 2 * KEY_BYTES
    return [
        f"{d[:8]}-{d[8:12]}-{d[12:16]}-{d[16:20]}-{d[20:]}"
        for d in (digits[at : at + width] for at in range(0, len(digits), width))
    ]


def packed_images(columns: Sequence[str], rows: Sequence[Sequence[Any]]) -> bytes:
    """Images of records by the same columns, in the order of their keys."""
    return zlib.compress(json.dumps([columns, rows], separators=(",", ":")).encode(), _LEVEL)


def unpacked_images(packed: bytes) -> tuple[list[str], list[list[Any]]]:
    columns, rows = json.loads(zlib.decompress(packed))
    return columns, rows


def keys_between(packed: bytes, first: str, last: str) -> list[str]:
    """Of packed keys those from one to another, both included, in their order."""
    low, high = _first_from(packed, UUID(first).bytes), _first_from(packed, UUID(last).bytes)
    end = (high + 1) * KEY_BYTES
    found = unpacked_keys(packed[low * KEY_BYTES : end])
    return found if found[-1:] <= [last] else found[:-1]


def place_in(packed: bytes, key: str) -> int | None:
    """Where a key stands among packed keys; None where it does not."""
    wanted = UUID(key).bytes
    place = _first_from(packed, wanted)
    return place if packed[place * KEY_BYTES : (place + 1) * KEY_BYTES] == wanted else None


def _first_from(packed: bytes, wanted: bytes) -> int:
    """The place of the first of the packed keys that is not before the wanted one."""
    low, high = 0, len(packed) // KEY_BYTES
    while low < high:
        middle = (low + high) // 2
        if packed[middle * KEY_BYTES : (middle + 1) * KEY_BYTES] < wanted:
            low = middle + 1
        else:
            high = middle
    return low
