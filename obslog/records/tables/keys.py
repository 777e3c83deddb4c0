"""Keys of records: UUIDs of version 7 (RFC 9562), so that files kept on two laptops can be merged later."""

import os
import threading
import time
import uuid
from array import array

_lock = threading.Lock()
_last = 0
_RANDOM_BITS = (1 << 62) - 1
_DERIVED = 8  # the version of such a key


def new_key() -> uuid.UUID:
    """A new key, later than every key made before it in this process.

    The time in it only keeps keys in order and apart: nothing is ever computed from it. That is why the clock and the
    randomness are read here and not handed in.
    Source: RFC 9562, section 5.7, with the 12 bits after the milliseconds used as in section 6.2, method 3.
    """
    return uuid.UUID(int=_key_numbers(1)[0])


def new_keys(count: int) -> list[uuid.UUID]:
    """As many new keys in order: for records that come in by the thousand."""
    return [uuid.UUID(int=number) for number in _key_numbers(count)]


def key_after(newest: uuid.UUID | None) -> uuid.UUID:
    """A new key that is later than `newest` even where this computer's clock says otherwise.

    So the order of keys is that in which things came on record, though a clock was set back, and of the records of two
    files that are merged it is nearly that of their times: a hybrid logical clock, of the wall time and a counter.
    Source: Kulkarni, Demirbas, Madappa, Avva and Leone 2014, Logical Physical Clocks, figure 5 (a local event).
    """
    key = new_key()
    if newest is None or newest < key:
        return key
    return uuid.UUID(int=_key_number(_ticks_of(newest) + 1, key.int & _RANDOM_BITS))


def reference_of(key: uuid.UUID) -> str:
    """The last six characters of a key: short to type, and the same on every laptop after merging."""
    return key.hex[-6:]


def is_derived(key: uuid.UUID) -> bool:
    """Whether a key was made of what is on record, as an upgrade does it, and not for something that a person did.

    Two copies of one file that are upgraded apart so give the same key to the same thing. Source: RFC 9562, section
    5.8 (version 8).
    """
    return key.version == _DERIVED


def new_keys_as_text(count: int) -> list[str]:
    """As many new keys in order, as text: for rows by the hundred thousand."""
    digits = [f"{number:032x}" for number in _key_numbers(count)]
    return [f"{d[:8]}-{d[8:12]}-{d[12:16]}-{d[16:20]}-{d[20:]}" for d in digits]


def _key_numbers(count: int) -> list[int]:
    global _last
    with _lock:
        nanoseconds = time.time_ns()
        ticks = (nanoseconds // 1_000_000) << 12 | (nanoseconds % 1_000_000) * 4096 // 1_000_000
        first = max(ticks, _last + 1)
        _last = first + count - 1
    randoms = array("Q", os.urandom(8 * count))
    return [
        _key_number(ticks, random >> 2)
        for ticks, random in zip(range(first, first + count), randoms, strict=True)
    ]


def _ticks_of(key: uuid.UUID) -> int:
    """The key's time in 4096ths of a millisecond."""
    return (key.int >> 80) << 12 | key.int >> 64 & 0xFFF


def _key_number(ticks: int, random: int) -> int:
    """The key of a time with 62 random bits, as a number: version 7 and variant 2 in their places."""
    return (ticks >> 12) << 80 | 7 << 76 | (ticks & 0xFFF) << 64 | 2 << 62 | random
