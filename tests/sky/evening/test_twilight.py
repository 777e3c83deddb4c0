"""Dusk and dawn come in order, or not at all where the Sun does not go low enough."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from obslog.sky.evening.rising import SUN_HORIZON_DEG
from obslog.sky.evening.twilight import (
    Darkness,
    Twilight,
    all_shown_utc,
    darkness,
    faintest_shown_mag,
    twilight,
)
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_places
from obslog.values import Place

DUSKS = ("sunset", "civil_dusk", "nautical_dusk", "astronomical_dusk")
DAWNS = ("astronomical_dawn", "nautical_dawn", "civil_dawn", "sunrise")


def test_a_winter_night_has_all_eight_in_order() -> None:
    place = Place(52.2, 0.1)
    night = twilight(np.datetime64("2026-12-21T12:00"), place)
    instants = np.array([getattr(night, name) for name in DUSKS + DAWNS], "datetime64[us]")
    assert np.all(np.diff(instants) > np.timedelta64(0))
    sun = body_places(Body.SUN, instants, place)
    assert_allclose(sun.airless_alt_deg, [-50 / 60, -6, -12, -18, -18, -12, -6, -50 / 60], rtol=0, atol=1e-3)
    assert night.darkest is Darkness.NIGHT


def test_a_summer_night_at_52_north_has_no_end_of_twilight() -> None:
    night = twilight(np.datetime64("2026-06-21T12:00"), Place(52.2, 0.1))
    assert night.nautical_dusk is not None
    assert night.astronomical_dusk is None
    assert night.astronomical_dawn is None
    # Midnight sun altitude: declination 23.44 less colatitude 37.8.
    assert_allclose(night.lowest_sun_alt_deg, 23.44 - 37.8, rtol=0, atol=0.1)
    assert night.darkest is Darkness.ASTRONOMICAL


def test_polar_day_and_polar_night() -> None:
    summer = twilight(np.datetime64("2026-06-21T11:00"), Place(70, 20))
    assert (summer.sun_never_sets, summer.sun_never_rises) == (True, False)
    assert summer.darkest is Darkness.DAY
    assert {getattr(summer, name) for name in DUSKS + DAWNS} == {None}
    winter = twilight(np.datetime64("2026-12-21T11:00"), Place(70, 20))
    assert (winter.sun_never_sets, winter.sun_never_rises) == (False, True)
    assert winter.sunset is None
    assert winter.astronomical_dusk is not None


def sun_above_the_horizon(
    noon: np.datetime64, place: Place
) -> tuple[NDArray[np.datetime64], NDArray[np.bool_]]:
    """Instants of a day from noon on, and whether the Sun is up then: every ten seconds wherever it may rise or set.

    The sky turns 15.05 degrees in an hour, so in two minutes the Sun moves 0.502 degrees at the most.
    """
    dense = noon + np.arange(0, 86_401, 10) * np.timedelta64(1, "s")
    sparse = body_places(Body.SUN, dense[::12], place).airless_alt_deg - SUN_HORIZON_DEG
    looked = np.repeat(np.abs(sparse) < 0.51, 12)[: dense.size]  # the two minutes from each of these on
    looked[::12] = True
    when = dense[looked]
    return when, body_places(Body.SUN, when, place).airless_alt_deg > SUN_HORIZON_DEG


def rise_and_set_by_a_dense_search(
    noon: np.datetime64, place: Place
) -> tuple[NDArray[np.datetime64], NDArray[np.datetime64], NDArray[np.bool_]]:
    """When the Sun sets, when it rises in the night of its first setting, and when it was seen up."""
    when, up = sun_above_the_horizon(noon, place)
    sets, rises = (when[1:][change] for change in (up[:-1] & ~up[1:], ~up[:-1] & up[1:]))
    return sets, rises[rises > sets[0]] if sets.size else rises, up


@pytest.mark.parametrize("place", [Place(67.86, 20.23), Place(69.65, 18.96), Place(-68.58, 77.97)])
@pytest.mark.parametrize("season", ["2026-05-20", "2026-07-18", "2026-11-22", "2026-12-07", "2027-01-12"])
def test_the_edges_of_polar_night_and_polar_day_are_those_of_a_dense_search(
    place: Place, season: str
) -> None:
    """Every ten seconds, at the days when the Sun shows or hides for minutes, wherever in the span that is.

    Where it stands farther from the horizon than it moves in two minutes, every two minutes are enough.
    """
    for day in range(6):
        noon = np.datetime64(f"{season}T11:00", "us") + np.timedelta64(day, "D")
        sets, rises, up = rise_and_set_by_a_dense_search(noon, place)
        found = twilight(noon, place)
        for event, expected in (("sunset", sets), ("sunrise", rises)):
            instant = getattr(found, event)
            assert (instant is None) == (expected.size == 0), (noon, event)
            if instant is not None:
                assert abs(instant - expected[0]) <= np.timedelta64(11, "s"), (noon, event)
        assert found.sun_never_sets == bool(up.all())
        assert found.sun_never_rises == (not up.any())


@pytest.mark.parametrize("day", ["2026-04-24", "2026-08-19"])
def test_a_day_that_begins_after_noon_does_not_end_the_night_that_follows_it(day: str) -> None:
    """At 166.7 degrees east the Sun is highest near 00:53 UTC, 53 minutes after the noon of New Zealand's clocks.

    The declination at which it is just up there is 90 - 77.85 + 0.83 = 12.98 degrees north, as after 24 April and
    before 19 August. So the shortest days begin after the clock's noon, and end before the night begins.
    """
    mcmurdo, noon = Place(-77.85, 166.7), np.datetime64(f"{day}T00:00", "us")
    when, up = sun_above_the_horizon(noon, mcmurdo)
    assert not up[0]
    sets, rises, _ = rise_and_set_by_a_dense_search(noon, mcmurdo)
    assert when[up][0] < sets[0]  # it rose before it set
    found = twilight(noon, mcmurdo)
    assert found.sunset is not None
    assert (found.sunrise is None) == (rises.size == 0)
    assert found.sunrise is None or abs(found.sunrise - rises[0]) <= np.timedelta64(11, "s")
    assert not found.sun_never_rises


def test_all_stars_are_shown_when_the_sun_is_nine_degrees_down_where_it_gets_there() -> None:
    noon, oxford = np.datetime64("2026-03-02T12:00", "us"), Place(51.75, -1.25)
    shown = all_shown_utc(noon, oxford)
    assert shown is not None
    assert shown - noon < np.timedelta64(12, "h")  # in the evening, not in the morning
    assert_allclose(body_places(Body.SUN, shown, oxford).airless_alt_deg, -9.0, rtol=0, atol=1e-3)
    # At midsummer's midnight the Sun is 90 - 60.2 - 23.4 = 6.4 degrees down in Helsinki.
    assert all_shown_utc(np.datetime64("2026-06-21T10:00", "us"), Place(60.2, 24.9)) is None


def test_the_southern_midwinter_night_is_in_june() -> None:
    def hours(night: Twilight) -> float:
        assert night.sunset is not None
        assert night.sunrise is not None
        return float((night.sunrise - night.sunset) / np.timedelta64(1, "h"))

    place = Place(-37.8, 145.0)
    assert hours(twilight(np.datetime64("2026-06-21T02:00"), place)) > 14
    assert hours(twilight(np.datetime64("2026-12-21T02:00"), place)) < 10


@pytest.mark.parametrize(
    ("sun_alt_deg", "name"),
    [
        (10, Darkness.DAY),
        (-0.5, Darkness.DAY),
        (-3, Darkness.CIVIL),
        (-6.01, Darkness.NAUTICAL),
        (-12.01, Darkness.ASTRONOMICAL),
        (-18.01, Darkness.NIGHT),
        (float("nan"), Darkness.DAY),
    ],
)
def test_what_the_sky_is_called(sun_alt_deg: float, name: Darkness) -> None:
    assert darkness(sun_alt_deg) is name


def seen_by_eye_mag(sun_alt_deg: float) -> float:
    """The faintest star at the zenith in twilight.

    Source: F. Patat, O. S. Ugolnikov and O. V. Postylyakov, Astron. Astrophys. 455 (2006) 385, table 1, V, for the
    sky, which holds from 95 to 105 deg from the zenith; B. E. Schaefer, Publ. Astron. Soc. Pac. 102 (1990) 212 for the
    eye, as it is commonly written for a sky in magnitudes per square arcsecond. Both from memory.
    """
    past_deg = -sun_alt_deg - 5.0
    sky = 11.84 + 1.518 * past_deg - 0.057 * past_deg**2
    return 7.93 - 5.0 * float(np.log10(10.0 ** (4.316 - sky / 5.0) + 1.0))


def test_stars_that_twilight_shows_are_seen_by_eye_or_in_a_small_finder() -> None:
    """A finder of 30 mm gathers 18 times the light of a pupil of 7 mm, 3.2 magnitudes; one is left for its glass."""
    for sun_alt_deg in np.arange(-9.0, -5.9, 0.25):
        assert faintest_shown_mag(sun_alt_deg + 1e-9) <= seen_by_eye_mag(sun_alt_deg) + 2.2
    assert faintest_shown_mag(-9.0 + 1e-9) == pytest.approx(seen_by_eye_mag(-9.0), abs=0.2)


def test_the_darker_the_fainter_and_by_night_no_star_is_too_faint() -> None:
    shown = [faintest_shown_mag(alt_deg) for alt_deg in (10.0, -6.0, -7.0, -8.0, -8.9, -9.0, -40.0)]
    assert shown == sorted(shown)
    assert (shown[0], shown[1], shown[-2], shown[-1]) == (1.5, 1.5, np.inf, np.inf)
