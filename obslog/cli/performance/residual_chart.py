"""A picture of the whole sky in text: what the fit leaves of each arrival, drawn where it was.

The zenith is in the middle, the horizon round it, north up and east left as one sees it lying on one's back. An arrow
shows which way the object stood from where the fit expects it (up is north on the sky, left is east), the number
after it how far, in arcminutes.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from obslog.angles import COMPASS_POINTS

ARROWS = "↑↖←↙↓↘→↗"  # from north through east, which is to the left
ROWS, COLUMNS = 19, 57
CELL = 3
LEAST_CELLS = 7
EXPLAINED = (
    "What the fit leaves, averaged where arrivals lie close together: the arrow says to which side (up is north on the "
    "sky, left is east), the number how many arcminutes, 99 also for more, ∘ less than half of one. The zenith (+) is "
    "in the middle, the horizon round it."
)


class Residual(Protocol):
    """Where an arrival was, and what the fit leaves of it."""

    @property
    def az_deg(self) -> float: ...
    @property
    def alt_deg(self) -> float: ...
    @property
    def east_arcmin(self) -> float: ...
    @property
    def north_arcmin(self) -> float: ...


@dataclass(frozen=True, slots=True)
class _Size:
    """Rows of text, and cells of three signs in each; both odd, so that the zenith has a place in the middle."""

    rows: int
    cells: int

    @classmethod
    def within(cls, columns: int) -> "_Size":
        cells = min(columns, COLUMNS) // CELL
        cells -= 1 - cells % 2
        rows = min(ROWS, cells)
        return cls(rows, cells)

    def cell(self, az_deg: float, alt_deg: float) -> tuple[int, int]:
        radius, az = (90 - alt_deg) / 90, math.radians(az_deg)
        row = round((self.rows - 1) / 2 * (1 - radius * math.cos(az)))
        column = round((self.cells - 1) / 2 * (1 - radius * math.sin(az)))
        return row, column


def residual_chart(residuals: Iterable[Residual], columns: int | None = None) -> list[str]:
    """The picture, a line each, no wider than the columns of a terminal.

    Arrivals that fall in one cell are averaged, those below the horizon left out.
    """
    size = _Size.within(COLUMNS if columns is None else max(columns, LEAST_CELLS * CELL))
    cells: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for residual in residuals:
        if residual.alt_deg >= 0:
            offset = (residual.east_arcmin, residual.north_arcmin)
            cells.setdefault(size.cell(residual.az_deg, residual.alt_deg), []).append(offset)
    grid = _horizon(size)
    for (row, column), offsets in cells.items():
        _write(grid[row], column * CELL, _arrow(offsets))
    return ["".join(line).rstrip() for line in grid]


def residuals_in_words(residuals: Iterable[Residual]) -> list[str]:
    """The same without a picture: a line for each arrival above the horizon, round the sky from north through east."""
    return [
        f"Azimuth {residual.az_deg:.0f}°, altitude {residual.alt_deg:.0f}°: the fit leaves {_left(residual)}"
        for residual in sorted(residuals, key=lambda one: (one.az_deg, one.alt_deg))
        if residual.alt_deg >= 0
    ]


def _left(residual: Residual) -> str:
    length = math.hypot(residual.east_arcmin, residual.north_arcmin)
    return f"{length:.1f}' {COMPASS_POINTS[_eighth(residual.east_arcmin, residual.north_arcmin)]}."


def _horizon(size: _Size) -> list[list[str]]:
    grid = [[" "] * (size.cells * CELL) for _ in range(size.rows)]
    for az in range(0, 360, 5):
        row, column = size.cell(az, 0)
        grid[row][column * CELL + 1] = "·"
    for name, az in (("N", 0), ("E", 90), ("S", 180), ("W", 270)):
        row, column = size.cell(az, 0)
        grid[row][column * CELL + 1] = name
    row, column = size.cell(0, 90)
    grid[row][column * CELL + 1] = "+"
    return grid


def _arrow(offsets: Sequence[tuple[float, float]]) -> str:
    east, north = (sum(part) / len(offsets) for part in zip(*offsets, strict=True))
    length = round(math.hypot(east, north))
    if length == 0:
        return " ∘ "
    return f"{ARROWS[_eighth(east, north)]}{min(length, 99)}"


def _eighth(east: float, north: float) -> int:
    """Which eighth of the circle, from north through east."""
    return round(math.degrees(math.atan2(east, north)) % 360 / 45) % 8


def _write(line: list[str], start: int, text: str) -> None:
    for place, sign in enumerate(text):
        if start + place < len(line):
            line[start + place] = sign
