"""Keys that come out the same each time, so that a random history is the same history wherever it is run.

Keys are made of the clock and of random bits, and which of two records counts may hang on them.
"""

import random

import pytest

from obslog.records.tables import keys

_BEGUN_NS = 1_767_225_600_000_000_000  # 2026-01-01, in UTC
_STEP_NS = 1_000_000


class _Clock:
    def __init__(self, begun_ns: int) -> None:
        self._now_ns = begun_ns

    def time_ns(self) -> int:
        self._now_ns += _STEP_NS
        return self._now_ns


class _Chance:
    def __init__(self, seed: int) -> None:
        self.urandom = random.Random(seed).randbytes


def settle_keys(patch: pytest.MonkeyPatch, seed: int, days: int = 0) -> None:
    """From now on keys are made of that seed, by a clock that begins so many days into 2026."""
    patch.setattr(keys, "time", _Clock(_BEGUN_NS + days * 86_400 * 10**9))
    patch.setattr(keys, "os", _Chance(seed))
    patch.setattr(keys, "_last", 0)
