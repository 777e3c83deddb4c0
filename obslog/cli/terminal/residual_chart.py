"""A picture of the whole sky in text: what the fit leaves of each arrival, drawn where it was.

The zenith is in the middle, the horizon round it, north up and east left as one sees it lying on one's back. An arrow
shows which way the object stood from where the fit expects it (up is north on the sky, left is east), the number
after it how far, in arcminutes.
"""

import math
from collections.abc import Iterable, Sequence
from typing import Protocol

ARROWS = "↑↖←↙↓↘→↗"  # from north through east, which is to the left
ROWS, COLUMNS = 19, 57
CELL = 3


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


def residual_chart(residuals: Iterable[Residual]) -> list[str]:
    """The picture, a line each; arrivals that fall in one cell are averaged, those below the horizon left out."""
    cells: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for residual in residuals:
        if residual.alt_deg >= 0:
            offset = (residual.east_arcmin, residual.north_arcmin)
            cells.setdefault(_cell(residual.az_deg, residual.alt_deg), []).append(offset)
    grid = _horizon()
    for (row, column), offsets in cells.items():
        _write(grid[row], column * CELL, _arrow(offsets))
    return ["".join(line).rstrip() for line in grid]


def _cell(az_deg: float, alt_deg: float) -> tuple[int, int]:
    radius, az = (90 - alt_deg) / 90, math.radians(az_deg)
    row = round((ROWS - 1) / 2 * (1 - radius * math.cos(az)))
    column = round((COLUMNS // CELL - 1) / 2 * (1 - radius * math.sin(az)))
    return row, column


def _horizon() -> list[list[str]]:
    grid = [[" "] * COLUMNS for _ in range(ROWS)]
    for az in range(0, 360, 5):
        row, column = _cell(az, 0)
        grid[row][column * CELL + 1] = "·"
    for name, az in (("N", 0), ("E", 90), ("S", 180), ("W", 270)):
        row, column = _cell(az, 0)
        grid[row][column * CELL + 1] = name
    row, column = _cell(0, 90)
    grid[row][column * CELL + 1] = "+"
    return grid


def _arrow(offsets: Sequence[tuple[float, float]]) -> str:
    east, north = (sum(part) / len(offsets) for part in zip(*offsets, strict=True))
    length = round(math.hypot(east, north))
    if length == 0:
        return " ∘ "
    turn = math.degrees(math.atan2(east, north)) % 360
    return f"{ARROWS[round(turn / 45) % 8]}{min(length, 99)}"


def _write(line: list[str], start: int, text: str) -> None:
    for place, sign in enumerate(text):
        if start + place < len(line):
            line[start + place] = sign
