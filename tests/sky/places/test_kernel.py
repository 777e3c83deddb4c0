"""Instants are read in every form, and dates without places are refused."""

import subprocess
import sys
from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import Directions, apparent_places
from obslog.sky.places.ephemeris import body_places, geocentric
from obslog.sky.places.instants import TimeWithoutZone
from obslog.sky.places.kernel import DateOutsideEphemeris, skyfield_time, utc_array
from obslog.sky.places.moon import moon_phase
from obslog.values import Place

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
