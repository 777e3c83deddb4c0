"""A run spread over the sky: even, on both sides of the meridian, and of stars that are found."""

from dataclasses import replace

import numpy as np
import pytest

from obslog.pointing.model.frames import separation_deg
from obslog.pointing.planning.observable import Candidates, even_sky
from obslog.pointing.planning.spread_run import OneSideOnly, clear_of_meridian, hour_angle_deg, spread_run
from obslog.pointing.planning.star_choice import TooFewStars

COUNT = 300


def sky(lat_deg: float = 52.0) -> Candidates:
    stars = even_sky(lat_deg, 25.0, COUNT)
    shape = np.full(COUNT, 90.0)
    return Candidates(
        stars=stars, magnitude=np.zeros(COUNT), hard_to_find=np.zeros(COUNT), moon_deg=shape, sun_deg=shape
    )


def closest_pair_deg(candidates: Candidates, chosen: tuple[int, ...]) -> float:
    direction = candidates.stars.airless()[:, list(chosen)]
    apart = [separation_deg(direction[:, [one]], direction) for one in range(len(chosen))]
    return float(min(np.sort(row)[1] for row in apart))


@pytest.mark.parametrize("lat_deg", [52.0, 0.0, -33.0])
@pytest.mark.parametrize("count", [4, 8, 12])
def test_it_is_far_more_even_than_chance(lat_deg: float, count: int) -> None:
    candidates = sky(lat_deg)
    usable = clear_of_meridian(candidates)
    chosen = spread_run(candidates, usable, count)
    rng = np.random.default_rng(5)
    by_chance = [
        closest_pair_deg(candidates, tuple(rng.choice(np.flatnonzero(usable), count, replace=False)))
        for _ in range(200)
    ]
    assert closest_pair_deg(candidates, chosen) > np.quantile(by_chance, 0.99)


@pytest.mark.parametrize("count", [4, 7, 12])
def test_as_many_stand_east_of_the_meridian_as_west(count: int) -> None:
    candidates = sky()
    chosen = list(spread_run(candidates, clear_of_meridian(candidates), count))
    east = int((hour_angle_deg(candidates)[chosen] < 0).sum())
    assert abs(2 * east - count) <= 1
    assert len(set(chosen)) == count


def test_one_side_is_gone_through_before_the_other() -> None:
    candidates = sky()
    chosen = list(spread_run(candidates, clear_of_meridian(candidates), 10))
    sides = hour_angle_deg(candidates)[chosen] < 0
    assert int((sides[1:] != sides[:-1]).sum()) == 1


def test_the_star_to_sync_on_is_the_one_that_is_found_most_easily() -> None:
    candidates = sky()
    usable = clear_of_meridian(candidates)
    wanted = int(np.flatnonzero(usable)[17])
    hard = np.ones(COUNT)
    hard[wanted] = -1.0
    assert spread_run(replace(candidates, hard_to_find=hard), usable, 6)[0] == wanted


def test_where_one_side_has_few_the_other_makes_up_the_number() -> None:
    candidates = sky()
    usable = clear_of_meridian(candidates)
    east = np.flatnonzero(usable & (hour_angle_deg(candidates) < 0))
    usable[east[2:]] = False
    chosen = spread_run(candidates, usable, 8)
    assert set(east[:2]) <= set(chosen)
    assert len(chosen) == 8


def test_it_refuses_a_sky_with_stars_on_one_side_alone_or_too_few() -> None:
    candidates = sky()
    west = clear_of_meridian(candidates) & (hour_angle_deg(candidates) > 0)
    with pytest.raises(OneSideOnly, match="east"):
        spread_run(candidates, west, 6)
    few = np.zeros(COUNT, bool)
    few[:3] = True
    with pytest.raises(TooFewStars):
        spread_run(candidates, few, 6)


def test_near_the_meridian_and_near_the_pole_no_star_is_taken() -> None:
    # A star a quarter of an hour west of the meridian, one an hour west, and one five degrees from the pole.
    stars = replace(
        even_sky(52.0, 25.0, 3),
        hour_angle_deg=np.array([3.75, 15.0, 359.0 - 60.0]),
        dec_deg=np.array([10.0, 10.0, 85.0]),
    )
    candidates = replace(sky(), stars=stars)
    assert clear_of_meridian(candidates).tolist() == [False, True, False]
    assert hour_angle_deg(candidates).tolist() == [3.75, 15.0, -61.0]
