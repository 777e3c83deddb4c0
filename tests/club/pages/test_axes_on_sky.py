"""Axes beside the pole as one sees them: by hand, at latitudes whose cosine everybody knows."""

from datetime import date
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from obslog.club.pages.axes_on_sky import AxisOnSky, axes_on_sky
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType
from tests.club.pages.axes import setup_id

DAYS = [date(2026, 1, 10), date(2026, 2, 10)]


def axes_at(latitudes: list[float], mount_type: MountType) -> list[AxisOnSky]:
    """Two set-ups, each with an axis 8' too high and turned by 20' of azimuth; two arrivals in each."""
    fitted = SimpleNamespace(
        polar_altitude=Estimate(8.0, 1.0, 4, determined=True),
        polar_azimuth=Estimate(20.0, 4.0, 4, determined=True),
        separation=Estimate(0.0, 0.0, 4, determined=True),
    )
    placed = SimpleNamespace(
        arrivals=SimpleNamespace(
            setup=np.array([0, 0, 1, 1]), stars=SimpleNamespace(lat_deg=np.repeat(latitudes, 2))
        ),
        machine=SimpleNamespace(mount_type=mount_type),
        setups=[setup_id(day) for day in DAYS],
        circumstances=SimpleNamespace(observers=["Ines", None]),
    )
    return axes_on_sky(cast(Any, placed), cast(Any, SimpleNamespace(setups=[fitted, fitted])))


def test_a_turn_in_azimuth_is_half_as_long_in_the_sky_of_sixty_degrees() -> None:
    equator, sixty = axes_at([0.0, 60.0], MountType.GERMAN)
    assert (equator.up_arcmin.value, sixty.up_arcmin.value) == (8.0, 8.0)
    assert (equator.east_arcmin.value, equator.east_arcmin.sd) == (20.0, 4.0)
    assert (sixty.east_arcmin.value, sixty.east_arcmin.sd) == pytest.approx((10.0, 2.0))


def test_a_base_leans_alike_at_every_latitude() -> None:
    assert [axis.east_arcmin.value for axis in axes_at([0.0, 60.0], MountType.ALTAZ)] == [20.0, 20.0]


def test_who_looks_at_the_southern_pole_has_east_to_the_left() -> None:
    assert [axis.facing_south for axis in axes_at([60.0, -60.0], MountType.FORK)] == [False, True]
    assert not any(axis.facing_south for axis in axes_at([60.0, -60.0], MountType.ALTAZ))


def test_each_axis_is_of_its_own_set_up() -> None:
    assert [(axis.setup.night, axis.observer) for axis in axes_at([0.0, 0.0], MountType.FORK)] == [
        (DAYS[0], "Ines"),
        (DAYS[1], None),
    ]
