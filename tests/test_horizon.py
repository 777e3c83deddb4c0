"""A site's horizon: the text gives back what it was made from, and heights are read off between its corners."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.horizon import UnreadableHorizon, hidden_alt_deg, hidden_alts_deg, horizon_text, read_horizon

azimuths = st.floats(0, 360, exclude_max=True)
horizons = st.dictionaries(azimuths, st.floats(-5, 90), max_size=12).map(
    lambda corners: tuple(sorted((az + 0.0, alt + 0.0) for az, alt in corners.items()))
)


@given(horizons)
def test_what_is_written_is_read_again_as_it_was(horizon: tuple[tuple[float, float], ...]) -> None:
    assert read_horizon(horizon_text(horizon)) == horizon


def test_corners_are_put_in_order_and_written_shortly() -> None:
    assert horizon_text(read_horizon(" 270:5 , 0:10 90:25.5")) == "0:10,90:25.5,270:5"
    assert read_horizon("360:12") == read_horizon("0:12")
    assert read_horizon("") == ()


@pytest.mark.parametrize(
    "text", ["north:10", "10", "0:91", "0:-6", "-1:5", "361:5", "0:nan", "0:1:2", ":", "0:10 90", "0:5,360:7"]
)
def test_what_is_no_horizon_is_refused(text: str) -> None:
    with pytest.raises(UnreadableHorizon):
        read_horizon(text)


@pytest.mark.parametrize(
    ("az_deg", "alt_deg"),
    [
        (90, 20.0),  # a corner
        (135, 25.0),  # half-way from 90:20 to 180:30
        (225, 20.0),  # half-way from 180:30 to 270:10
        (0, 15.0),  # half-way from 270:10 through north to 90:20
        (315, 12.5),  # a quarter of that way: 10 + 10 / 4
        (45, 17.5),  # three quarters
        (-90, 10.0),
        (450, 20.0),
    ],
)
def test_between_corners_the_height_is_read_off_a_straight_line(az_deg: float, alt_deg: float) -> None:
    horizon = read_horizon("90:20,180:30,270:10")
    assert_allclose(hidden_alt_deg(horizon, az_deg), alt_deg)
    assert_allclose(hidden_alts_deg(horizon, [[az_deg]]), [[alt_deg]])


def test_one_corner_is_a_wall_all_round_and_none_hides_nothing() -> None:
    assert hidden_alt_deg(read_horizon("120:8"), 300) == 8
    assert hidden_alt_deg((), 300) == -90
    assert_allclose(hidden_alts_deg((), np.zeros((2, 3))), np.full((2, 3), -90.0))


@given(horizons, st.floats(0, 360))
def test_one_direction_and_many_are_told_alike(
    horizon: tuple[tuple[float, float], ...], az_deg: float
) -> None:
    assert_allclose(hidden_alts_deg(horizon, az_deg), hidden_alt_deg(horizon, az_deg), rtol=0, atol=1e-6)
