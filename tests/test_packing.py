"""Records go into bytes and come back as they were; what is damaged, or of another type, is refused."""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from obslog.packing import DamagedBytes, alike, packed, unpacked

KEY = UUID("01a2216a-b04b-73b8-8adc-990ef49193df")


@dataclass(frozen=True)
class Mount:
    key: UUID
    since: date | None
    errors: NDArray[np.float64]
    counts: NDArray[np.int64]
    left_out: Counter[str]


def mount(*errors: float) -> Mount:
    return Mount(KEY, date(2026, 2, 3), np.array(errors), np.arange(6).reshape(2, 3), Counter("aab"))


@given(st.lists(st.floats()))
def test_numbers_come_back_to_the_last_bit(numbers: list[float]) -> None:
    found = unpacked(packed(mount(*numbers)), Mount)
    assert found.errors.tobytes() == np.array(numbers, float).tobytes()
    assert found.errors.dtype == float


def test_a_record_comes_back_with_its_types() -> None:
    found = unpacked(packed(mount(1.5)), Mount)
    assert (found.key, found.since, found.left_out) == (KEY, date(2026, 2, 3), Counter(a=2, b=1))
    np.testing.assert_array_equal(found.counts, [[0, 1, 2], [3, 4, 5]])


def test_what_is_damaged_or_of_another_type_is_refused() -> None:
    whole = packed(mount(1.5, 2.5))
    for length in range(len(whole)):
        with pytest.raises(DamagedBytes):
            unpacked(whole[:length], Mount)
    for other in ({"key": str(KEY)}, [1, 2], "text"):
        with pytest.raises(DamagedBytes):
            unpacked(packed(other), Mount)
    unlike = packed({"key": str(KEY), "since": None, "errors": "no array", "counts": [], "left_out": {}})
    with pytest.raises(DamagedBytes):
        unpacked(unlike, Mount)


def test_records_are_alike_but_for_the_last_figures() -> None:
    one = packed(mount(1.0, np.nan, 1e5))
    assert alike(one, packed(mount(1.0 + 1e-9, np.nan, 1e5 + 1e-4)))
    for other in (mount(1.001, np.nan, 1e5), mount(1.0, 0.0, 1e5), mount(1.0, np.nan)):
        assert not alike(one, packed(other))
    assert alike(packed([1.0, "a", None]), packed([1.0 + 1e-12, "a", None]))
    for unlike in ([1.0, "b", None], [1.0, "a", 0], [1.0, "a"], {"a": 1.0}, [1, "a", None]):
        assert not alike(packed([1.0, "a", None]), packed(unlike))
