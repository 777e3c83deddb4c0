"""Intervals drawn in text: a dot for the value, a line for what it may be, on one logarithmic scale."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from obslog.cli.look.layout import DrawnHeading

if TYPE_CHECKING:
    from obslog.cli.terminal.screen import Screen

WIDTH = 14
_EXPLAINED = "Bars: ● the value, ─ its interval, on a logarithmic scale whose ends stand above them."
_WHOLE_FROM = 10


@dataclass(frozen=True, slots=True)
class Bars:
    """A scale from one size to another, both above zero; both zero where nothing is known."""

    low: float
    high: float

    @classmethod
    def over(cls, values: Iterable[float | None]) -> "Bars":
        """A scale that holds all the values; those that are not known are left out."""
        known = [value for value in values if value is not None and value > 0]
        return cls(min(known, default=0.0), max(known, default=0.0))

    def scale(self, unit: str) -> DrawnHeading:
        """The heading of the column: the ends of the scale, or the one that both are; none where nothing is known."""
        if self.high <= 0:
            return DrawnHeading()
        left, right = _end(self.low, unit), _end(self.high, unit)
        return DrawnHeading(left if left == right else f"{left:<{WIDTH - len(right)}}{right}")

    def bar(self, low: float | None, value: float | None, high: float | None) -> str:
        """One interval; an end that is not bounded runs off the scale with an arrow; nothing where nothing is known."""
        if value is None:
            return ""
        start = 0 if low is None else self._place(low)
        stop = WIDTH - 1 if high is None else self._place(high)
        signs = ["─" if start <= place <= stop else " " for place in range(WIDTH)]
        if low is None:
            signs[0] = "◂"
        if high is None:
            signs[-1] = "▸"
        signs[self._place(value)] = "●"
        return "".join(signs).rstrip()

    def _place(self, value: float) -> int:
        if value <= self.low or self.high <= self.low:
            return 0
        share = math.log(value / self.low) / math.log(self.high / self.low)
        return min(WIDTH - 1, round(share * (WIDTH - 1)))


def _end(value: float, unit: str) -> str:
    return f"{value:.0f}{unit}" if value >= _WHOLE_FROM else f"{value:.2g}{unit}"


def explain_bars(screen: "Screen", bars: Bars) -> None:
    """Say how bars are read, where any are drawn."""
    if screen.draws and bars.high > 0:
        screen.note(_EXPLAINED)
