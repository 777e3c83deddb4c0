"""When a quantity that varies smoothly with time passes through zero."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from obslog.sky.kernel import Array, Instants

Quantity = Callable[[Instants], Array]
"""Something that varies smoothly with time: instants (n) to values (n)."""

STEP_MINUTES = 30.0
_MICROSECONDS_PER_MINUTE = 60e6
_HALVINGS = 5
_SECANTS = 3


class Crossings(NamedTuple):
    """Instants of zero, in order, and whether the quantity was growing there."""

    when_utc: Instants
    upward: NDArray[np.bool_]


def crossings(quantity: Quantity, start_utc: np.datetime64, hours: float) -> Crossings:
    """Every instant from `start_utc` on, for `hours`, at which `quantity` passes through zero; good to 0.1 s.

    `quantity` takes instants (n) and gives values (n). It is sampled every half hour and at its turning
    points, so that even a body that shows for a minute is caught; it must not turn twice within half an hour.
    """
    minutes, values = _samples(lambda m: quantity(instants_after(start_utc, m)), hours * 60)
    change = np.flatnonzero((values[:-1] < 0) != (values[1:] < 0))
    root = _refined(lambda m: quantity(instants_after(start_utc, m)), minutes, values, change)
    return Crossings(instants_after(start_utc, root), values[change + 1] >= 0)


def instants_after(start_utc: np.datetime64, minutes: Array) -> Instants:
    """The instants that lie some minutes after a first one."""
    microseconds = np.round(np.asarray(minutes) * _MICROSECONDS_PER_MINUTE).astype("timedelta64[us]")
    return np.asarray(start_utc.astype("datetime64[us]") + microseconds)


def _samples(quantity: Callable[[Array], Array], span_minutes: float) -> tuple[Array, Array]:
    """Minutes and values: an even grid, and the turning points between that might hide two crossings."""
    minutes = np.linspace(0.0, span_minutes, max(2, int(np.ceil(span_minutes / STEP_MINUTES))) + 1)
    values = quantity(minutes)
    before, middle, after = values[:-2], values[1:-1], values[2:]
    turns = ((middle - before) * (middle - after) > 0) & (np.sign(middle) == np.sign(before))
    at = np.flatnonzero(turns & (np.sign(middle) == np.sign(after)))
    if not at.size:
        return minutes, values
    bend = before[at] - 2 * middle[at] + after[at]
    vertex = minutes[at + 1] + 0.5 * (minutes[1] - minutes[0]) * (before[at] - after[at]) / bend
    order = np.argsort(np.concatenate([minutes, vertex]), kind="stable")
    all_minutes = np.concatenate([minutes, vertex])[order]
    return all_minutes, np.concatenate([values, quantity(vertex)])[order]


def _refined(
    quantity: Callable[[Array], Array], minutes: Array, values: Array, change: NDArray[np.intp]
) -> Array:
    """The roots inside the brackets that begin at `change`: halvings first, then secants kept inside."""
    if not change.size:
        return np.empty(0)
    low, high = minutes[change], minutes[change + 1]
    low_value, high_value = values[change], values[change + 1]
    for turn in range(_HALVINGS + _SECANTS):
        share = 0.5 if turn < _HALVINGS else low_value / (low_value - high_value)
        middle = low + share * (high - low)
        value = quantity(middle)
        same = (value < 0) == (low_value < 0)
        low, low_value = np.where(same, middle, low), np.where(same, value, low_value)
        high, high_value = np.where(same, high, middle), np.where(same, high_value, value)
    return low + low_value / (low_value - high_value) * (high - low)
