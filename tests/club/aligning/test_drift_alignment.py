"""Drifts as people write them, and the rules of thumb that they must keep to."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.club.aligning.drift_alignment import DriftPage, UnreadableDrift, axis_from_drifts
from obslog.club.aligning.star_candidates import BelowTheHorizon
from obslog.club.register.observing_site import ObservingSite
from obslog.errors import OutOfRange
from obslog.pointing.model.drift import NoTimePassed
from obslog.sky.names.lookup import UnknownInSky
from obslog.values import Place
from tests.known import known
from tests.pointing.joint_fit.pointing_clubs import drift_north_arcmin

NORTH = ObservingSite("Mill Field", Place(52.2, 0.12, 20.0), ZoneInfo("Europe/London"))
SOUTH = ObservingSite("Kestrel Ridge", Place(-32.4, 22.3, 1700.0), ZoneInfo("Africa/Johannesburg"))
EVENING, NEXT_MORNING = datetime(2026, 3, 2, 22, tzinfo=UTC), datetime(2026, 3, 3, 9, tzinfo=UTC)


def axis(view: ObservingSite, *texts: str, reading_arcmin: float = 0.5) -> DriftPage:
    return axis_from_drifts(view, list(texts), EVENING, reading_arcmin=reading_arcmin)


# F. Barrett, "Measuring polar axis alignment error", 3rd ed. 2016.
@pytest.mark.parametrize(
    ("view", "text", "says"),
    [
        (NORTH, "0h/0 10 2S", "too far east"),
        (NORTH, "0h/0 10 2N", "too far west"),
        (NORTH, "-6h/0 10 2S", "too low"),
        (NORTH, "-6h/0 10 2N", "too high"),
        (NORTH, "+6h/0 10 2S", "too high"),
        (NORTH, "+6h/0 10 2N", "too low"),
        (SOUTH, "-6h/0 10 2S", "too high"),
        (SOUTH, "-6h/0 10 2N", "too low"),
    ],
)
def test_the_rules_of_direction_are_kept_by_words_and_numbers(
    view: ObservingSite, text: str, says: str
) -> None:
    page = axis(view, text)
    (drift,) = page.drifts
    assert drift.meaning.endswith(says)
    estimate = page.polar_azimuth if says.startswith("too far") else page.polar_altitude
    assert estimate.value > 0 if says.endswith(("east", "high")) else estimate.value < 0
    assert abs(estimate.value) > 3 * estimate.sd
    (adjuster,) = page.adjusters
    back = {"east": "west", "west": "east", "high": "down", "low": "up"}[says.split()[-1]]
    assert f"to bring the axis {back} by " in adjuster


def test_a_drift_is_held_against_how_well_it_was_read() -> None:
    assert axis(NORTH, "0h/0 10 0.4S").adjusters == []
    assert axis(NORTH, "0h/0 10 0.4S").drifts[0].meaning == "no drift beyond ±0.5': it shows no error"
    assert axis(NORTH, "0h/0 10 0.4S", reading_arcmin=0.1).drifts[0].meaning.endswith("too far east")


def test_one_star_determines_one_of_the_two() -> None:
    page = axis(NORTH, "0h/0 20 2S")
    assert (page.polar_azimuth.determined, page.polar_altitude.determined) == (True, False)


def test_two_stars_give_the_axis_back() -> None:
    # A degree of error, best hour angle: 15.75" a minute (360 deg in 1436.0682 min), so 20' of altitude is 52.5" in ten
    # minutes in the east; 30' of azimuth is 30 cos(52.2) x 2.625" = 48.27" on the meridian.
    page = axis(NORTH, f"-6h/0 10 {52.5 / 60}N", f"0h/0 10 {48.27 / 60}S", reading_arcmin=0.01)
    assert_allclose([page.polar_altitude.value, page.polar_azimuth.value], [20, 30], rtol=0.02, atol=0.5)
    assert page.polar_altitude.determined
    assert page.polar_azimuth.determined
    # An exact mount, written apart from the program, agrees far better than a rule of thumb does.
    stars = np.array([[-90.0, 0.0], [0.0, 0.0], [10.0, 10.0]])
    north = drift_north_arcmin(stars[0], stars[1], stars[2], 52.2, np.array([20.0, 30.0]))
    texts = [f"{h}h/0 10 {abs(d):.5f}{'N' if d > 0 else 'S'}" for h, d in zip((-6, 0), north, strict=True)]
    page = axis(NORTH, *texts, reading_arcmin=0.001)
    assert_allclose([page.polar_altitude.value, page.polar_azimuth.value], [20, 30], atol=0.02)


@pytest.mark.parametrize(
    ("text", "star", "minutes", "north"),
    [
        ("Procyon 21:40 10 2.5N", "Procyon", 10, 2.5),
        ("  procyon   21:40  10 min 2.5' n ", "Procyon", 10, 2.5),
        ("alf CMi 2140 10m 2.5S", "Procyon", 10, -2.5),
        ("alpha Canis Minoris 21:40Z 7.5 0.5S", "Procyon", 7.5, -0.5),
        ("HIP 37279 2026-03-02T21:40:00Z 10 2N", "Procyon", 10, 2),
        ("M 44 21:40 10 0N", "M 44", 10, 0),
    ],
)
def test_what_people_write_is_read(text: str, star: str, minutes: float, north: float) -> None:
    (drift,) = axis(NORTH, text).drifts
    assert (drift.star, drift.minutes, drift.drift_north_arcmin) == (star, minutes, north)


def test_east_and_west_may_be_written_for_the_sign() -> None:
    signed, named = (axis(NORTH, *texts).drifts for texts in (("-4.5h/+10 10 2N", "3h/-5 10 2N"),
                                                              ("4.5hE/+10 10 2N", "3hw/-5 10 2N")))  # fmt: skip
    assert [d.hour_angle_hours for d in named] == [d.hour_angle_hours for d in signed] == [-4.5, 3]
    with pytest.raises(UnreadableDrift):
        axis(NORTH, "-4.5hE/+10 10 2N")


def test_the_star_stands_where_it_stood_at_that_time() -> None:
    # Sidereal time at Greenwich by Meeus, Astronomical Algorithms, 2nd ed. 1998, eq. 12.4; Procyon's right ascension
    # 7 h 39 m 18.1 s and declination +5 13' 30" (J2000, Hipparcos, from memory) with 26.2 years of precession.
    (drift,) = axis(NORTH, "Procyon 21:40 10 2.5N").drifts
    days = 2461101.5 + (21 + 40 / 60) / 24 - 2451545.0
    sidereal_hours = (280.46061837 + 360.98564736629 * days + 0.12) / 15 % 24
    right_ascension_hours = 7.65503 + 26.17 * 3.19 / 3600
    assert_allclose(drift.hour_angle_hours, sidereal_hours - right_ascension_hours, atol=0.002)
    assert_allclose(drift.dec_deg, 5.16, atol=0.02)


def test_typed_next_morning_it_is_last_nights() -> None:
    text = ["Procyon 21:40 10 2.5N"]
    assert axis_from_drifts(NORTH, text, NEXT_MORNING) == axis_from_drifts(NORTH, text, EVENING)


@pytest.mark.parametrize(
    "text",
    ["", "Procyon", "Procyon 21:40", "Procyon 21:40 10", "Procyon 21:40 10 2.5E", "Procyon 21:40 10 -2.5N",
     "21:40 10 2.5N", "0h 10 2.5N", "Procyon 10 2.5N", "Procyon 21:40 10 2,5N"],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(UnreadableDrift) as caught:
        axis(NORTH, text)
    assert "Procyon 21:40 10 2.5N" in caught.value.hint


@pytest.mark.parametrize("text", ["30h/10 10 2N", "-13h/10 10 2N", "0h/95 10 2N", "0h/-95 10 2N"])
def test_a_star_that_cannot_stand_there_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange):
        axis(NORTH, text)


def test_no_time_an_unknown_star_and_an_impossible_exposure_are_refused() -> None:
    with pytest.raises(NoTimePassed):
        axis(NORTH, "0h/0 0 2N")
    with pytest.raises(UnknownInSky):
        axis(NORTH, "Procyonn 21:40 10 2N")
    for minutes in (-5.0, float("nan"), 2000.0):
        with pytest.raises(OutOfRange):
            axis_from_drifts(NORTH, ["0h/0 10 2N"], EVENING, exposure_minutes=minutes)


def test_the_turning_of_the_field_is_told_only_where_asked_for() -> None:
    assert axis(NORTH, "0h/0 10 2N").drifts[0].rotation_deg is None
    page = axis_from_drifts(NORTH, ["0h/0 10 0N"], EVENING, exposure_minutes=60)
    assert_allclose(known(page.drifts[0].rotation_deg), 0, atol=1e-6)  # no drift: no error, no turning


def test_a_star_below_the_horizon_drifts_before_nobodys_eyes() -> None:
    # Alphard (declination -8.7) sets half an hour before six hours of hour angle at latitude 52; right ascension 9.47 h
    # and a sidereal time near 16.5 h at six in the morning put it 7 h west of the meridian.
    with pytest.raises(BelowTheHorizon, match="Alphard stood"):
        axis_from_drifts(NORTH, ["Alphard 06:00 10 1S"], EVENING)


def test_a_star_watched_by_day_carries_the_caution() -> None:
    # Vega, right ascension 18.62 h: at seven in the morning the sidereal time is near 17.7 h, and the Sun rose at 6:40.
    page = axis_from_drifts(NORTH, ["Vega 07:30 10 1N", "0h/0 10 2S"], EVENING)
    assert (page.caution or "").startswith("The Sun is up")
    assert axis(NORTH, "Procyon 21:40 10 2.5N").caution is None
