"""When a quantity that varies smoothly with time passes through zero."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from obslog.sky.places.kernel import Array, Instants

Quantity = Callable[[Instants], Array]
"""Something that varies smoothly with time: instants (n) to values (n)."""

STEP_MINUTES = 60.0
_MICROSECONDS_PER_MINUTE = 60e6
_STILL_MINUTES = 0.05 / 60
_MOST_ROUNDS = 30


class Crossings(NamedTuple):
    """Instants of zero, in order, and whether the quantity was growing there."""

    when_utc: Instants
    upward: NDArray[np.bool_]


def crossings(
    quantity: Quantity, start_utc: np.datetime64, hours: float, *, step_minutes: float = STEP_MINUTES
) -> Crossings:
    """Every instant from `start_utc` on, for `hours`, at which a quantity passes through zero.

    It is sampled every step and at its turning points, so that even a body that shows for a minute is caught,
    and a step beyond either end, so that one is caught that turns just after the beginning or before the end; it
    must not turn twice within a step. Good to 0.01 s.
    """
    minutes, values = _samples(lambda m: quantity(instants_after(start_utc, m)), hours * 60, step_minutes)
    change = np.flatnonzero((values[:-1] < 0) != (values[1:] < 0))
    root = _refined(lambda m: quantity(instants_after(start_utc, m)), minutes, values, change)
    return Crossings(instants_after(start_utc, root), values[change + 1] >= 0)


def instants_after(start_utc: np.datetime64, minutes: Array) -> Instants:
    """The instants that lie some minutes after a first one."""
    microseconds = np.round(np.asarray(minutes) * _MICROSECONDS_PER_MINUTE).astype("timedelta64[us]")
    return np.asarray(start_utc.astype("datetime64[us]") + microseconds)


def _samples(
    quantity: Callable[[Array], Array], span_minutes: float, step_minutes: float
) -> tuple[Array, Array]:
    """Minutes and values: an even grid, and the turning points between that might hide two crossings."""
    steps = max(2, int(np.ceil(span_minutes / step_minutes)))
    step = span_minutes / steps
    within = np.linspace(0.0, span_minutes, steps + 1)
    grid = np.concatenate([[-step], within, [span_minutes + step]])
    values = quantity(grid)
    before, middle, after = values[:-2], values[1:-1], values[2:]
    bend = before - 2 * middle + after
    one_sided = (np.sign(middle) == np.sign(before)) & (np.sign(middle) == np.sign(after))
    at = np.flatnonzero(one_sided & ((middle - before) * (middle - after) >= 0) & (bend != 0))
    vertex = grid[at + 1] + 0.5 * step * (before - after)[at] / bend[at]
    inside = (vertex > 0) & (vertex < span_minutes)
    minutes = np.concatenate([grid[1:-1], vertex[inside]])
    order = np.argsort(minutes, kind="stable")
    return minutes[order], np.concatenate([values[1:-1], quantity(vertex[inside])])[order]


def _refined(
    quantity: Callable[[Array], Array], minutes: Array, values: Array, change: NDArray[np.intp]
) -> Array:
    """The roots inside the brackets that begin at `change`, each sought until a step no longer moves it.

    Source: C. J. F. Ridders, IEEE Trans. Circuits Syst. 26 (1979) 979: a secant that stays within its bracket and at
    least halves it.
    """
    brackets = np.array([minutes[change], minutes[change + 1], values[change], values[change + 1]])
    roots = np.full(change.size, np.nan)
    moving = np.arange(change.size)
    for _ in range(_MOST_ROUNDS):
        if not moving.size:
            break
        found, brackets[:, moving] = _closer(quantity, *brackets[:, moving])
        still = ~(np.abs(found - roots[moving]) < _STILL_MINUTES)
        roots[moving] = found
        moving = moving[still]
    return roots


def _closer(
    quantity: Callable[[Array], Array], low: Array, high: Array, low_value: Array, high_value: Array
) -> tuple[Array, Array]:
    """A better guess of each root, and the narrowest bracket known then."""
    middle = (low + high) / 2
    middle_value = quantity(middle)
    scale = np.sqrt(middle_value**2 - low_value * high_value)
    sign = np.where(low_value < high_value, -1.0, 1.0)
    found = middle + (middle - low) * sign * middle_value / np.where(scale > 0, scale, 1.0)
    found_value = quantity(found)
    after_middle = found >= middle
    at = np.array([low, np.minimum(middle, found), np.maximum(middle, found), high])
    first, second = np.where(after_middle, [middle_value, found_value], [found_value, middle_value])
    value = np.array([low_value, first, second, high_value])
    end, row = np.argmax((value < 0) != (low_value < 0), axis=0), np.arange(low.size)
    return found, np.array([at[end - 1, row], at[end, row], value[end - 1, row], value[end, row]])
