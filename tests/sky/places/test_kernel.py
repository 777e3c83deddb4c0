"""Instants are read in every form, and dates without places are refused."""

import subprocess
import sys
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.pole import pole_now
from obslog.club.sky.sun_and_moon import sun_and_moon
from obslog.club.sky.when import when_is
from obslog.club.sky.where import where_is
from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import Directions, apparent_places
from obslog.sky.places.ephemeris import body_places, geocentric
from obslog.sky.places.instants import TimeWithoutZone
from obslog.sky.places.kernel import FIRST_DAY, LAST_DAY, DateOutsideEphemeris, skyfield_time, utc_array
from obslog.sky.places.moon import moon_phase
from obslog.values import Place
from tests.sky.sidereal_time import local_sidereal_hours

HERE = Place(52, 0)


def test_all_forms_of_an_instant_agree() -> None:
    zoned = datetime(2026, 3, 2, 21, 41, tzinfo=timezone(timedelta(hours=1)))
    utc = datetime(2026, 3, 2, 20, 41, tzinfo=UTC)
    expected = np.datetime64("2026-03-02T20:41", "us")
    assert utc_array(zoned) == utc_array(utc) == utc_array(np.datetime64("2026-03-02T20:41")) == expected
    assert_array_equal(utc_array([utc, zoned]), [expected, expected])


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(TimeWithoutZone):
        utc_array(datetime(2026, 3, 2))  # noqa: DTZ001
    with pytest.raises(TimeWithoutZone):
        utc_array([datetime(2026, 3, 2)])  # noqa: DTZ001


def test_instants_keep_their_microseconds() -> None:
    when = np.datetime64("2026-03-02T20:41:00.123456")
    assert_allclose(float(skyfield_time(when).utc.second[0]), 0.123456, atol=5e-6)


@pytest.mark.parametrize("day", ["1899-01-01", "2054-01-01", "2300-01-01"])
def test_dates_outside_the_ephemeris_get_our_error(day: str) -> None:
    when = np.datetime64(day)
    with pytest.raises(DateOutsideEphemeris) as error:
        apparent_places(Directions(1.0, 2.0), when, HERE)
    assert "2053" in error.value.hint
    assert error.value.exit_code == 2
    for ask in (lambda: body_places(Body.MARS, when, HERE), lambda: geocentric(Body.MOON, when)):
        with pytest.raises(DateOutsideEphemeris):
            ask()
    with pytest.raises(DateOutsideEphemeris):
        moon_phase(when)


def test_one_bad_date_among_many_is_refused() -> None:
    with pytest.raises(DateOutsideEphemeris):
        apparent_places(Directions(1.0, 2.0), np.array(["2026-01-01", "2060-01-01"], "datetime64[us]"), HERE)


@pytest.mark.parametrize("day", ["1899-07-30", "2053-10-07"])
def test_the_days_that_the_hint_names_have_places(day: str) -> None:
    assert np.isfinite(body_places(Body.MOON, np.datetime64(day), HERE).alt_deg)


def test_a_process_leaves_no_warning_behind() -> None:
    code = (
        "from datetime import datetime, UTC; from obslog.values import Place\n"
        "from obslog.sky.places.ephemeris import body_places; from obslog.sky.names.solar_system import Body\n"
        "body_places(Body.MOON, datetime(2026, 1, 1, tzinfo=UTC), Place(52, 0))"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stderr == ""


@pytest.mark.parametrize("day", ["1900-03-01T20:00", "1950-01-01T00:00", "1971-12-31T23:59"])
def test_before_1972_a_civil_time_is_that_of_the_turning_earth(day: str) -> None:
    """By ERFA: the sidereal time of an instant taken as UT1. Atomic seconds would put it 44 s off in 1900."""
    when = np.datetime64(day, "us")
    instant = when.astype(datetime)
    minutes = instant.hour * 60 + instant.minute
    jd = (
        erfa.cal2jd(instant.year, instant.month, instant.day)[0],
        erfa.cal2jd(instant.year, instant.month, instant.day)[1] + minutes / 1440,
    )
    # Terrestrial time only moves the precession here: a minute of it is 0.0003 s of sidereal time.
    expected_hours = np.degrees(erfa.gst06a(*jd, *jd)) / 15
    there = Place(0.0, 0.0)
    hours = local_sidereal_hours(when, there)
    assert_allclose((hours - expected_hours + 12) % 24 - 12, 0, atol=0.02 / 3600)


def test_instants_on_both_sides_of_1972_are_told_apart_in_one_array() -> None:
    when = np.array(["1971-12-31T23:00", "1972-01-01T01:00"], "datetime64[us]")
    together = local_sidereal_hours(when, Place(0.0, 0.0))
    assert_allclose(together, [local_sidereal_hours(one, Place(0.0, 0.0)) for one in when], atol=1e-8)
    # Two hours of mean time are two hours and 19.7 s of sidereal time, but for what UTC and UT1 differed by then.
    assert_allclose((together[1] - together[0]) % 24, 2 * 1.00273791, atol=0.05 / 3600)


@pytest.mark.parametrize("day", [FIRST_DAY, LAST_DAY])
def test_the_first_and_the_last_day_that_a_message_names_work(day: str) -> None:
    evening = datetime.fromisoformat(f"{day}T20:00+00:00")
    view = ObservingSite("Mill Field", HERE, ZoneInfo("UTC"))
    assert where_is(view, "Mars", evening).alt_deg < 90
    assert when_is(view, "Vega", evening).transits_utc
    assert sun_and_moon(view, evening).next_phases
    assert pole_now(view, evening).star == "Polaris"
