"""Keys of records: UUIDs of version 7 (RFC 9562), so that files kept on two laptops can be merged later."""

import os
import threading
import time
import uuid

_lock = threading.Lock()
_last = 0


def new_key() -> uuid.UUID:
    """A new key, later than every key made before it in this process.

    The time in it only keeps keys in order and apart: nothing is ever computed from it. That is why the clock and the
    randomness are read here and not handed in.
    Source: RFC 9562, section 5.7, with the 12 bits after the milliseconds used as in section 6.2, method 3.
    """
    global _last
    with _lock:
        nanoseconds = time.time_ns()
        ticks = (nanoseconds // 1_000_000) << 12 | (nanoseconds % 1_000_000) * 4096 // 1_000_000
        _last = ticks = max(ticks, _last + 1)
    random = int.from_bytes(os.urandom(8), "big") >> 2
    return uuid.UUID(int=(ticks >> 12) << 80 | 7 << 76 | (ticks & 0xFFF) << 64 | 2 << 62 | random)
