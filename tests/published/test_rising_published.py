"""Rises, sets, twilight, phases and seasons against the tables of the U.S. Naval Observatory."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.evening.rising import (
    STAR_HORIZON_DEG,
    SUN_HORIZON_DEG,
    Course,
    rise_transit_set,
)
from obslog.sky.evening.twilight import twilight
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_disc
from obslog.sky.places.kernel import Instants
from obslog.sky.places.moon import PhaseName, ecliptic_longitude_deg, principal_phases
from obslog.sky.places.zero_crossings import crossings
from obslog.values import Place


def assert_minutes(found: object, expected: list[str]) -> None:
    """Instants agree with a table printed to the minute."""
    apart = (np.array(found, "datetime64[us]") - np.array(expected, "datetime64[us]")) / np.timedelta64(
        1, "s"
    )
    assert_allclose(apart, 0, atol=31)


def test_altitudes_of_rising() -> None:
    # Meeus ch. 15, Explanatory Supplement.
    assert_allclose([SUN_HORIZON_DEG, STAR_HORIZON_DEG], [-0.8333, -0.5667], rtol=0, atol=5e-5)


def test_sunrise_and_sunset_at_bluffton() -> None:
    # USNO one-day table, 2018 Sep 12, Bluffton, Ohio, as quoted in Skyfield's tests.
    day = rise_transit_set(Body.SUN, np.datetime64("2018-09-12T04:00"), Place(40.8939, -83.8917))
    assert day.course is Course.RISES_AND_SETS
    assert_minutes(day.rises_utc, ["2018-09-12T11:13"])
    assert_minutes(day.sets_utc, ["2018-09-12T23:50"])


def test_twilights_at_defiance() -> None:
    # 2019 Nov 8, Defiance, Ohio, as quoted in Skyfield's tests (test_dark_twilight_day).
    place = Place(41.281944, -84.362778)
    morning = twilight(np.datetime64("2019-11-07T17:20"), place)
    assert_minutes(
        [morning.astronomical_dawn, morning.nautical_dawn, morning.civil_dawn, morning.sunrise],
        ["2019-11-08T10:42", "2019-11-08T11:15", "2019-11-08T11:48", "2019-11-08T12:17"],
    )
    evening = twilight(np.datetime64("2019-11-08T17:20"), place)
    assert_minutes(
        [evening.sunset, evening.civil_dusk, evening.nautical_dusk, evening.astronomical_dusk],
        ["2019-11-08T22:25", "2019-11-08T22:54", "2019-11-08T23:27", "2019-11-08T23:59"],
    )


def test_a_moon_that_shows_for_half_an_hour_is_caught() -> None:
    # 2023 Feb 19, 70 N 0 E: up from 11:28 to 12:05, as quoted in Skyfield's tests.
    day = rise_transit_set(Body.MOON, np.datetime64("2023-02-19T00:00"), Place(70, 0))
    assert_minutes([*day.rises_utc, *day.sets_utc], ["2023-02-19T11:28", "2023-02-19T12:05"])


def test_phases_of_september_2018() -> None:
    # USNO, phases of the Moon 2018.
    phases = principal_phases(np.datetime64("2018-09-11"), 19)
    assert [phase.name for phase in phases] == [PhaseName.FIRST_QUARTER, PhaseName.FULL]
    assert_minutes([phase.when_utc for phase in phases], ["2018-09-16T23:15", "2018-09-25T02:52"])


def test_lit_part_of_the_moon() -> None:
    # USNO, fraction of the Moon illuminated, 2018 Sep 9 to 18, 05h UTC.
    when = np.datetime64("2018-09-09T05:00") + np.arange(10) * np.timedelta64(1, "D")
    expected = [0, 0, 0.03, 0.08, 0.15, 0.24, 0.33, 0.43, 0.52, 0.62]
    assert_allclose(body_disc(Body.MOON, when).illuminated, expected, rtol=0, atol=0.006)


def test_equinox_and_solstice_of_2018() -> None:
    # USNO, seasons of 2018: Sep 23 01:54 and Dec 21 22:23; the Sun's longitude is 180 and 270 deg.
    def passes(longitude_deg: float) -> Instants:
        found = crossings(
            lambda when: np.sin(np.radians(ecliptic_longitude_deg(Body.SUN, when) - longitude_deg)),
            np.datetime64("2018-09-20"),
            24 * 100,
        )
        return found.when_utc

    assert_minutes(passes(180), ["2018-09-23T01:54"])
    assert_minutes(passes(270), ["2018-12-21T22:23"])
