"""The mistake finder against landings worked out with the ERFA library's own sidereal time."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.mistakes.landings import precession_deg
from obslog.pointing.mistakes.posterior import landed_from_offset, likely_causes
from obslog.pointing.mistakes.prior import Past, UnknownMistake, prior_shares
from obslog.pointing.mistakes.supposed import BrightStars, FirstStars, LocalCircumstances
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType

LAT_DEG, LON_DEG, ZONE_HOURS = 47.3, 8.6, 2.0
NOW = datetime(2026, 5, 11, 21, 30, tzinfo=UTC)
# ICRS places of four bright stars (degrees, two decimals are enough here) and their magnitudes
STARS = {
    "Arcturus": (213.92, 19.18, -0.05),
    "Vega": (279.23, 38.78, 0.03),
    "Spica": (201.30, -11.16, 0.97),
    "Regulus": (152.09, 11.97, 1.4),
}
SITES = (("Old Quarry", 47.1, 9.9), ("Harbour", 51.2, 3.1))


def equatorial_direction(hour_angle_deg, dec_deg, lat_deg):
    """Unit vectors (3, n) to north, east and up, by ERFA: the library counts azimuth as the program does."""
    az, alt = erfa.hd2ae(np.radians(hour_angle_deg), np.radians(dec_deg), np.radians(lat_deg))
    return np.moveaxis(erfa.s2c(az, alt), -1, 0)


def az_alt_deg(direction):
    az, alt = erfa.c2s(np.moveaxis(direction, 0, -1))
    return np.degrees(az) % 360.0, np.degrees(alt)


def sidereal_deg(when, lon_deg=LON_DEG):
    first, second = erfa.dtf2d("UTC", when.year, when.month, when.day, when.hour, when.minute, when.second)
    return np.degrees(erfa.gmst06(first, second, first, second)) + lon_deg


def first_stars(names, landed_of, ordinary_deg=0.4, seed=0):
    """Stars as they stand, landed at the hour angles and declinations that `landed_of(ra, dec)` gives."""
    ra, dec = (np.array([STARS[name][k] for name in names]) for k in (0, 1))
    slip = np.random.default_rng(seed).normal(0, ordinary_deg, (2, len(names)))
    hour_angle, landed_dec = landed_of(ra, dec)
    landed = equatorial_direction(
        hour_angle + slip[0] / np.cos(np.radians(landed_dec)), landed_dec + slip[1], LAT_DEG
    )
    west = (sidereal_deg(NOW) - ra + 180) % 360 - 180 < 0
    return FirstStars(
        hour_angle_deg=sidereal_deg(NOW) - ra, dec_deg=dec, ra_deg=ra, tube_west=west, landed=landed
    )


def circumstances(mount_type=MountType.GERMAN):
    return LocalCircumstances(
        mount_type=mount_type,
        lat_deg=LAT_DEG,
        lon_deg=LON_DEG,
        local_date=date(2026, 5, 11),
        zone_hours=ZONE_HOURS,
        other_sites=SITES,
    )


def sky():
    names = tuple(STARS)
    ra, dec, magnitude = (np.array([STARS[name][k] for name in names]) for k in range(3))
    return BrightStars(names, sidereal_deg(NOW) - ra, dec, magnitude)


def believing(when=NOW, lon_deg=LON_DEG):
    return lambda ra, dec: (sidereal_deg(when, lon_deg) - ra, dec)


CASES = [
    ("summer time", believing(NOW + timedelta(hours=1)), "ahead"),
    ("summer time", believing(NOW - timedelta(hours=1)), "behind"),
    ("time zone", believing(NOW + timedelta(hours=4)), "4 hours ahead"),
    ("clock", believing(NOW + timedelta(minutes=24)), "fast"),
    ("morning for evening", believing(NOW - timedelta(hours=12)), ""),
    ("day and month swapped", believing(NOW.replace(month=11, day=5)), "2026-11-05"),
    ("longitude sign", believing(lon_deg=-LON_DEG), ""),
    ("another site's longitude", believing(lon_deg=3.1), "Harbour"),
    ("hour axis home", lambda ra, dec: (sidereal_deg(NOW) - ra + 90.0, dec), "90"),
]


@pytest.mark.parametrize(("cause", "landed_of", "particulars"), CASES)
def test_the_mistake_is_named_from_three_stars(cause, landed_of, particulars):
    stars = first_stars(["Regulus", "Arcturus", "Spica"], landed_of)
    causes = likely_causes(stars, circumstances(), sky())
    assert causes[0].cause == cause
    assert causes[0].probability > 0.5
    assert particulars in causes[0].what


@pytest.mark.parametrize(("cause", "landed_of", "particulars"), CASES)
def test_one_star_puts_the_mistake_among_the_first_three(cause, landed_of, particulars):
    causes = likely_causes(first_stars(["Arcturus"], landed_of), circumstances(), sky())
    assert cause in [found.cause for found in causes[:3]]


def test_each_mistake_is_told_in_the_words_of_the_mount():
    stars = first_stars(["Regulus", "Arcturus", "Spica"], believing())
    told = {one.cause: one for one in likely_causes(stars, circumstances(MountType.ALTAZ), sky())}
    assert told[Cause.DECLINATION_ZERO].what.startswith(
        "the altitude axis did not start from its home position"
    )
    assert told[Cause.HOUR_AXIS_HOME].remedy.startswith("Turn the tube toward true north")
    assert told[Cause.POLAR_AXIS].remedy == "Level the base, and start again."
    in_the_south = replace(circumstances(), lat_deg=-LAT_DEG)
    told = {one.cause: one for one in likely_causes(stars, in_the_south, sky())}
    assert "declination reading -90°" in told[Cause.DECLINATION_ZERO].remedy


def test_a_declination_zero_turns_the_other_way_across_the_pier():
    # A declination axis counts the other way where the tube is on the other side of the pier, so that a zero
    # point 7° off puts stars 7° too far north on one side and 7° too far south on the other.
    stars = first_stars(["Regulus", "Arcturus", "Spica"], believing())
    assert set(stars.tube_west.tolist()) == {True, False}
    flip = np.where(stars.tube_west, -1.0, 1.0)
    landed = equatorial_direction(stars.hour_angle_deg, stars.dec_deg + 7.0 * flip, LAT_DEG)
    stars = FirstStars(
        hour_angle_deg=stars.hour_angle_deg,
        dec_deg=stars.dec_deg,
        ra_deg=stars.ra_deg,
        tube_west=stars.tube_west,
        landed=landed,
    )
    first = likely_causes(stars, circumstances(), sky())[0]
    assert first.cause == "declination zero"
    found = re.search(r"(\d+\.\d)° ± (\d+\.\d)°", first.what)
    assert found is not None
    assert float(found[1]) == pytest.approx(7.0, abs=0.2)


def test_probabilities_add_up_and_are_in_order():
    causes = likely_causes(
        first_stars(["Vega"], believing(NOW + timedelta(minutes=11))), circumstances(), sky()
    )
    probabilities = [cause.probability for cause in causes]
    assert sum(probabilities) == pytest.approx(1.0)
    assert probabilities == sorted(probabilities, reverse=True)
    assert all(cause.remedy and cause.look_at for cause in causes)


def test_a_small_miss_is_an_ordinary_set_up():
    causes = likely_causes(
        first_stars(["Arcturus", "Vega"], believing(), ordinary_deg=0.3), circumstances(), sky()
    )
    assert causes[0].cause == "ordinary"


def test_minutes_of_the_clock_are_fitted():
    stars = first_stars(["Regulus", "Arcturus"], believing(NOW + timedelta(minutes=37)), ordinary_deg=0.05)
    (clock,) = [
        cause
        for cause in likely_causes(stars, circumstances(), sky(), ordinary_deg=0.3)
        if cause.cause == "clock"
    ]
    assert clock.what.startswith("the clock is 37 ± ")
    assert clock.what.endswith("fast")


def test_a_wrong_star_is_named():
    # the mount stood at Regulus, the observer looked at Spica and gave its offset as that of Regulus
    ra, dec = np.array([STARS["Regulus"][0]]), np.array([STARS["Regulus"][1]])
    other_ra, other_dec = STARS["Spica"][:2]
    hour_angle = sidereal_deg(NOW) - ra
    east = (other_ra - ra) * np.cos(np.radians(other_dec))
    landed = landed_from_offset(hour_angle, dec, LAT_DEG, east, other_dec - dec)
    stars = FirstStars(
        hour_angle_deg=hour_angle, dec_deg=dec, ra_deg=ra, tube_west=np.array([False]), landed=landed
    )
    causes = likely_causes(stars, circumstances(), sky())
    assert causes[0].cause == "wrong star"
    assert causes[0].what.endswith("Spica")
    sent = FirstStars(
        hour_angle_deg=hour_angle,
        dec_deg=dec,
        ra_deg=ra,
        tube_west=np.array([False]),
        landed=equatorial_direction(hour_angle - other_ra + ra, np.array([other_dec]), LAT_DEG),
    )
    causes = likely_causes(sent, circumstances(), sky())
    assert causes[0].cause == "sent to another star"
    assert causes[0].what.endswith("Spica")


def test_a_wrong_latitude_is_seen_by_an_altazimuth_mount_only():
    def wrong(ra, dec):
        direction = equatorial_direction(sidereal_deg(NOW) - ra, dec, -LAT_DEG)
        az_deg, alt_deg = az_alt_deg(direction)
        # the level base goes to that azimuth and altitude, whatever the sky is doing there
        back = erfa.ae2hd(np.radians(az_deg), np.radians(alt_deg), np.radians(LAT_DEG))
        return np.degrees(back[0]), np.degrees(back[1])

    stars = first_stars(["Arcturus", "Vega"], wrong)
    causes = likely_causes(stars, circumstances(MountType.ALTAZ), sky())
    assert causes[0].cause == "latitude"
    assert "sign" in causes[0].what
    assert "latitude" not in [cause.cause for cause in likely_causes(stars, circumstances(), sky())]


def test_a_gross_polar_axis_is_found_with_several_stars():
    # 7 deg too far east: every direction turns about the vertical by 7 degrees (exact for an azimuth error)
    def turned(ra, dec):
        az_deg, alt_deg = az_alt_deg(equatorial_direction(sidereal_deg(NOW) - ra, dec, LAT_DEG))
        back = erfa.ae2hd(np.radians(az_deg + 7.0), np.radians(alt_deg), np.radians(LAT_DEG))
        return np.degrees(back[0]), np.degrees(back[1])

    stars = first_stars(["Arcturus", "Regulus", "Vega", "Spica"], turned, ordinary_deg=0.2)
    causes = likely_causes(stars, circumstances(), sky(), ordinary_deg=0.5)
    assert causes[0].cause == "polar axis"
    assert "7° ± 1° to the east" in causes[0].what
    # one star tells two numbers, a line of axes: each alone is told as far less sure
    (alone,) = [
        cause for cause in likely_causes(first_stars(["Arcturus"], turned), circumstances(), sky())
        if cause.cause == "polar axis"
    ]  # fmt: skip
    (sideways,) = re.findall(r"\d° ± (\d+)° to the", alone.what)
    assert int(sideways) > 1


def test_the_club_s_own_record_moves_the_probabilities():
    stars = first_stars(["Arcturus"], believing(NOW - timedelta(minutes=24)))
    before = {c.cause: c.probability for c in likely_causes(stars, circumstances(), sky())}
    after = {
        c.cause: c.probability
        for c in likely_causes(stars, circumstances(), sky(), Past({Cause.ANOTHER_SITES_LONGITUDE: 60}, 400))
    }
    assert after[Cause.ANOTHER_SITES_LONGITUDE] > before[Cause.ANOTHER_SITES_LONGITUDE]
    with pytest.raises(UnknownMistake, match="gremlins"):
        likely_causes(stars, circumstances(), sky(), Past({"gremlins": 1}))  # type: ignore[dict-item]


def test_precession_is_the_reference_library_s():
    ra, dec = np.array([20.0, 150.0, 280.0]), np.array([-30.0, 10.0, 60.0])
    matrix = erfa.pmat06(2451545.0, 26.0 * 365.25)
    there = erfa.s2c(np.radians(ra), np.radians(dec)) @ matrix.T
    ra_then, dec_then = (np.degrees(angle) for angle in erfa.c2s(there))
    ra_shift, dec_shift = precession_deg(ra, dec, 26.0)
    assert_allclose(ra + ra_shift, ra_then % 360, atol=0.01)
    assert_allclose(dec + dec_shift, dec_then, atol=0.005)


def test_an_hour_is_fifteen_degrees_of_hour_angle():
    landed = landed_from_offset(
        np.array([10.0]), np.array([60.0]), LAT_DEG, np.array([7.52]), np.array([0.0])
    )
    assert_allclose(landed, equatorial_direction(np.array([25.04]), np.array([60.0]), LAT_DEG), atol=1e-12)


@pytest.mark.parametrize(
    ("stars_seen", "ordinary_deg", "miss_deg"), [(1, 1.0, 1.5), (2, 1.0, 1.5), (2, 0.5, 0.7)]
)
def test_ordinary_against_unknown_is_a_normal_density_against_the_hemisphere(
    stars_seen, ordinary_deg, miss_deg
):
    # By hand: a density exp(-r^2 / 2 s^2) / (2 pi s^2) for each star against one over the 20626.5 square degrees above
    # the horizon; both weigh as the stated shares say.
    names = ["Arcturus", "Vega"][:stars_seen]
    stars = first_stars(names, lambda ra, dec: (sidereal_deg(NOW) - ra, dec - miss_deg), ordinary_deg=0.0)
    found = {
        c.cause: c.probability
        for c in likely_causes(stars, circumstances(), sky(), ordinary_deg=ordinary_deg)
    }
    density = np.exp(-0.5 * (miss_deg / ordinary_deg) ** 2) / (2 * np.pi * ordinary_deg**2)
    shares = prior_shares()
    expected = shares[Cause.ORDINARY] / shares[Cause.SOMETHING_ELSE] * (density * 20626.48) ** stars_seen
    assert found[Cause.ORDINARY] / found[Cause.SOMETHING_ELSE] == pytest.approx(expected, rel=1e-5)


def test_a_size_is_summed_over_with_its_own_share():
    # By hand: the clock's probability over the ordinary one's, one star, is the mean over minutes of the density at the
    # distance from there, weighed by exp(-|minutes| / 20).
    stars = first_stars(["Regulus"], believing(NOW + timedelta(minutes=30)), ordinary_deg=0.0)
    found = {c.cause: c.probability for c in likely_causes(stars, circumstances(), sky())}
    minutes = np.arange(-240, 241)
    share = np.exp(-np.abs(minutes) / 20)
    ra, dec = np.radians(STARS["Regulus"][:2])

    def density(away_minutes):
        away = np.degrees(erfa.seps(ra, dec, ra + np.radians(15.0410686 / 60 * away_minutes), dec))
        return np.exp(-0.5 * away**2)

    clock = (share * density(minutes - 30)).sum() / share.sum()
    shares = prior_shares()
    expected = shares[Cause.CLOCK] / shares[Cause.ORDINARY] * clock / density(np.array([30.0]))[0]
    assert found[Cause.CLOCK] / found[Cause.ORDINARY] == pytest.approx(expected, rel=1e-3)


def test_a_landing_past_the_pole_is_taken_to_be_at_the_pole():
    pole = np.array([np.cos(np.radians(LAT_DEG)), 0.0, np.sin(np.radians(LAT_DEG))])
    at: dict[str, Any] = {"lat_deg": LAT_DEG, "east_deg": np.array([0.0])}
    north = landed_from_offset(np.array([20.0]), np.array([85.0]), north_deg=np.array([-9.0]), **at)
    south = landed_from_offset(np.array([20.0]), np.array([-85.0]), north_deg=np.array([9.0]), **at)
    assert_allclose(north[:, 0], pole, atol=1e-12)
    assert_allclose(south[:, 0], -pole, atol=1e-12)
