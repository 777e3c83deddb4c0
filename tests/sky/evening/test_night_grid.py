"""The grid of a whole catalogue agrees with every point computed afresh."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.evening.night_grid import NightTooLong, night_grid
from obslog.sky.names.star_tables import all_stars
from obslog.sky.places.apparent_places import Directions, apparent_places, directions_of
from obslog.sky.places.refraction import usual_air
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place

# Without the few stars within 5 deg of the Sun on that night: its bending of their light changes by the hour.
FAR_FROM_SUN = [
    star for star in all_stars() if separation_deg(star.ra_hours * 15, star.dec_deg, 241.5, -20.9) > 5
]
STARS = directions_of(FAR_FROM_SUN)
NIGHT = np.datetime64("2026-11-25T18:00", "us") + np.arange(144) * np.timedelta64(5, "m")


@pytest.mark.parametrize(
    "place", [Place(54.6, -3.1, 180), Place(-33.0, 180.0, 0), Place(90.0, 0.0), Place(0, 20)]
)
def test_every_point_is_within_an_arcsecond_of_one_computed_afresh(place: Place) -> None:
    blocks = list(night_grid(STARS, NIGHT, place, block=100))
    alt = np.concatenate([block.airless_alt_deg for block in blocks])
    az = np.concatenate([block.az_deg for block in blocks])
    assert alt.shape == (len(FAR_FROM_SUN), 144)
    for k in (0, 50, 143):
        afresh = apparent_places(STARS, NIGHT[k], place)
        apart = separation_deg(az[:, k], alt[:, k], afresh.az_deg, afresh.airless_alt_deg)
        assert_allclose(apart * 3600, 0, atol=0.3)


def test_blocks_follow_each_other_and_end_with_the_rest() -> None:
    blocks = list(night_grid(STARS, NIGHT[:3], Place(52, 0), block=100))
    assert [block.first for block in blocks] == list(range(0, len(FAR_FROM_SUN), 100))
    assert blocks[-1].az_deg.shape == (len(FAR_FROM_SUN) % 100, 3)


def test_the_azimuth_of_each_object_at_an_instant_of_its_own() -> None:
    place, instant = Place(54.6, -3.1), np.arange(len(FAR_FROM_SUN)) * 7 % 144
    found = next(night_grid(STARS, NIGHT, place)).az_deg_at(instant)
    afresh = apparent_places(STARS, NIGHT[instant], place)
    apart = separation_deg(found, afresh.airless_alt_deg, afresh.az_deg, afresh.airless_alt_deg)
    assert_allclose(apart * 3600, 0, atol=0.3)


def test_refracted_altitudes_agree_too() -> None:
    place = Place(54.6, -3.1, 180)
    block = next(night_grid(STARS, NIGHT[:1], place))
    afresh = apparent_places(STARS, NIGHT[0], place)
    up = afresh.airless_alt_deg > 0
    refracted = block.alt_deg(usual_air(place.elevation_m))[:, 0]
    assert_allclose(refracted[up], afresh.alt_deg[up], rtol=0, atol=1 / 3600)


def test_a_single_direction_without_motion_is_a_catalogue_of_one() -> None:
    block = next(night_grid(Directions(5.0, 20.0), NIGHT, Place(52, 0)))
    assert block.airless_alt_deg.shape == (1, 144)


def test_a_week_is_not_a_night() -> None:
    week = NIGHT[0] + np.arange(8) * np.timedelta64(1, "D")
    with pytest.raises(NightTooLong, match="168 hours"):
        next(night_grid(STARS, week, Place(52, 0)))
