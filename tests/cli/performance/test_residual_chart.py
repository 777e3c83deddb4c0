"""The picture of what a fit leaves, around the sky."""

import math
from dataclasses import dataclass

import pytest

from obslog.cli.performance.residual_chart import COLUMNS, ROWS, residual_chart, residuals_in_words


@dataclass(frozen=True)
class Left:
    az_deg: float
    alt_deg: float
    east_arcmin: float
    north_arcmin: float


def cell(lines: list[str], sign: str) -> tuple[int, int]:
    return next((row, line.index(sign)) for row, line in enumerate(lines) if sign in line)


def test_an_empty_sky_has_its_corners_north_up_and_east_left() -> None:
    lines = residual_chart([])
    assert len(lines) == ROWS
    assert max(map(len, lines)) <= COLUMNS
    (north, south), (east, west) = (cell(lines, "N"), cell(lines, "S")), (cell(lines, "E"), cell(lines, "W"))
    assert (north[0], south[0]) == (0, ROWS - 1)
    assert east[1] < north[1] == south[1] < west[1]
    assert cell(lines, "+") == (east[0], north[1])


@pytest.mark.parametrize(
    ("east", "north", "arrow"),
    [
        (0, 5, "↑"),
        (5, 5, "↖"),
        (5, 0, "←"),
        (5, -5, "↙"),
        (0, -5, "↓"),
        (-5, -5, "↘"),
        (-5, 0, "→"),
        (-5, 5, "↗"),
    ],
)
def test_arrows_point_where_the_object_stood(east: float, north: float, arrow: str) -> None:
    text = "\n".join(residual_chart([Left(120, 50, east, north)]))
    assert f"{arrow}{5 if 0 in (east, north) else 7}" in text


def test_places_in_the_sky_are_drawn_where_they_are() -> None:
    lines = residual_chart([Left(90, 45, 0, 5), Left(180, 45, 0, -5)])
    (up, left), (down, middle) = cell(lines, "↑5"), cell(lines, "↓5")
    assert up == (ROWS - 1) // 2
    assert left < COLUMNS / 2
    assert down > (ROWS - 1) / 2
    assert abs(middle - COLUMNS / 2) < 3


def test_arrivals_in_one_cell_are_averaged_and_great_ones_cut() -> None:
    assert "↑3" in "\n".join(residual_chart([Left(120, 50, 0, 1), Left(120, 50, 0, 5)]))
    assert "∘" in "\n".join(residual_chart([Left(120, 50, 2, 3), Left(120, 50, -2, -3)]))
    assert "↑99" in "\n".join(residual_chart([Left(120, 50, 0, 4000)]))


def test_what_is_below_the_horizon_is_left_out() -> None:
    assert residual_chart([Left(120, -0.1, 0, 5)]) == residual_chart([])


@pytest.mark.parametrize("az", [0.0, 90.0, 180.0, 270.0, 359.99])
@pytest.mark.parametrize("alt", [0.0, 90.0])
def test_the_edges_of_the_sky_fit_in(az: float, alt: float) -> None:
    lines = residual_chart([Left(az, alt, 0, 5000)])
    assert len(lines) == ROWS
    assert max(map(len, lines)) <= COLUMNS
    assert "↑99" in "\n".join(lines)


@pytest.mark.parametrize(
    ("turn", "arrow"), [(-22, "↑"), (-23, "↗"), (-67, "↗"), (-68, "→"), (22, "↑"), (23, "↖")]
)
def test_an_arrow_turns_halfway_between_two(turn: float, arrow: str) -> None:
    # Arrows are 45 degrees apart: each holds 22.5 degrees to either side, counted from north through east.
    east, north = 10 * math.sin(math.radians(turn)), 10 * math.cos(math.radians(turn))
    assert f"{arrow}10" in "\n".join(residual_chart([Left(120, 50, east, north)]))


@pytest.mark.parametrize("columns", [21, 22, 40, 56, 57, 60, 80, 200])
def test_the_picture_is_no_wider_than_the_window_and_keeps_its_corners(columns: int) -> None:
    lines = residual_chart([Left(az, alt, 0, 5) for az in range(0, 360, 15) for alt in (0, 30, 80)], columns)
    assert max(map(len, lines)) <= min(columns, COLUMNS)
    assert len(lines) <= ROWS
    # The arrivals on the horizon stand where its own signs do: those of an empty sky are looked at.
    empty = residual_chart([], columns)
    (north, middle), (east, left), (west, right) = (cell(empty, sign) for sign in "NEW")
    assert north == 0
    assert east == west == (len(empty) - 1) / 2
    assert middle - left == right - middle
    assert cell(empty, "+") == (east, middle)


def test_a_wider_window_shows_no_more_than_the_whole_picture() -> None:
    assert residual_chart([Left(90, 45, 0, 5)], 200) == residual_chart([Left(90, 45, 0, 5)])


def test_in_words_each_arrival_above_the_horizon_is_told_round_the_sky() -> None:
    # North is up to 22.5 degrees on either side; 3 east and 4 north are 5 long, 36.9 degrees from north to the east.
    told = residuals_in_words([Left(180.4, 30, 0, -2), Left(90, -1, 0, 5), Left(20, 45.6, 3, 4)])
    assert told == [
        "Azimuth 20°, altitude 46°: the fit leaves 5.0' north-east.",
        "Azimuth 180°, altitude 30°: the fit leaves 2.0' south.",
    ]
