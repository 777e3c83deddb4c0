"""Where each supposed mistake sends the mount: against ERFA's spherical trigonometry and arithmetic by hand."""

from dataclasses import replace
from datetime import date

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.mistakes.landings import all_supposed
from obslog.pointing.mistakes.supposed import BrightStars, FirstStars, LocalCircumstances
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType
from seed_demo.mount_model import Head, with_head_error

LAT_DEG, LON_DEG = 47.3, 8.3
HOUR_ANGLE_DEG, DEC_DEG = np.array([-25.0, 40.0, 10.0]), np.array([20.0, 5.0, 60.0])
# Degrees that the sky turns in an hour of ordinary time (15 x 1.00273790935), and is ahead after a day.
HOUR, DAY = 15.0410686, 0.9856473


def directions(hour_angle_deg, dec_deg, lat_deg=LAT_DEG):
    """Unit vectors to north, east and up, with the components first."""
    az, alt = erfa.hd2ae(np.radians(hour_angle_deg), np.radians(dec_deg), np.radians(lat_deg))
    return np.moveaxis(erfa.s2c(az, alt), -1, 0)


def horizontal(az_deg, alt_deg):
    return np.moveaxis(erfa.s2c(np.radians(az_deg), np.radians(alt_deg)), -1, 0)


def first_stars(tube_west=(True, False, False)):
    return FirstStars(
        hour_angle_deg=HOUR_ANGLE_DEG, dec_deg=DEC_DEG, ra_deg=np.array([100.0, 35.0, 65.0]),
        tube_west=np.array(tube_west), landed=directions(HOUR_ANGLE_DEG, DEC_DEG),
    )  # fmt: skip


CIRCUMSTANCES = LocalCircumstances(
    mount_type=MountType.GERMAN, lat_deg=LAT_DEG, lon_deg=LON_DEG, local_date=date(2026, 5, 11), zone_hours=2.0,
    other_sites=(("Old Quarry", 47.1, 9.9), ("Harbour", 51.2, 3.1)),
)  # fmt: skip
SKY = BrightStars(("Near", "Far"), np.array([-20.0, 70.0]), np.array([18.0, -10.0]), np.array([1.0, 3.0]))


def supposed(cause, catalogue=SKY, tube_west=(True, False, False), **changes):
    circumstances = replace(CIRCUMSTANCES, **changes)
    found = [
        one for one in all_supposed(first_stars(tube_west), circumstances, catalogue) if one.cause is cause
    ]
    return found[0] if found else None


def words(one, variant):
    """What is said where one variant alone explains the landings."""
    score = np.full(one.log_share.size, -np.inf)
    score[variant] = 0.0
    return one.particulars(score)


def assert_turned(one, shifts_deg, said=None):
    """The landings are west of the stars by each shift, equally likely."""
    shifts = np.array(shifts_deg)[:, None]
    assert_allclose(one.directions, directions(HOUR_ANGLE_DEG + shifts, DEC_DEG + 0 * shifts), atol=1e-6)
    assert_allclose(one.log_share, -np.log(len(shifts_deg)))
    if said is not None:
        assert [words(one, k) for k in range(len(shifts_deg))] == said


def test_without_a_mistake_the_stars_are_met():
    assert_turned(supposed(Cause.ORDINARY), [0.0], [""])


def test_a_clock_that_is_fast_sends_the_mount_west():
    clock, minutes = supposed(Cause.CLOCK), np.arange(-240, 241)
    shifts = minutes[:, None] / 60 * HOUR
    assert_allclose(clock.directions, directions(HOUR_ANGLE_DEG + shifts, DEC_DEG + 0 * shifts), atol=1e-6)
    # judged: an error of twenty minutes more is less likely by a factor of e
    assert_allclose(clock.log_share - clock.log_share[240], -np.abs(minutes) / 20)
    assert np.exp(clock.log_share).sum() == pytest.approx(1.0)
    assert words(clock, 240 + 37) == "37 ± 1 minutes fast"
    assert words(clock, 240 - 8) == "8 ± 1 minutes slow"
    score = np.full(481, -np.inf)
    score[[240 + 26, 240 + 34]] = -1e3  # two that explain it alike: the mean, and half of what lies between
    assert clock.particulars(score) == "30 ± 4 minutes fast"


def test_hours_half_days_and_days():
    assert_turned(supposed(Cause.SUMMER_TIME), [HOUR, -HOUR], ["ahead", "behind"])
    assert_turned(supposed(Cause.MORNING_FOR_EVENING), [12 * HOUR, -12 * HOUR])
    assert_turned(supposed(Cause.DATE), [DAY, -DAY], ["ahead", "behind"])


@pytest.mark.parametrize(
    ("zone_hours", "swapped"), [(2.0, [4.0] * 8), (-1.0, [-2.0] * 8), (0.5, []), (0.0, [])]
)
def test_time_zones_are_tried_and_most_of_all_the_own_one_with_the_wrong_sign(zone_hours, swapped):
    hours = [*range(-12, -1), *range(2, 13), 0.5, -0.5, *swapped]
    said = [f"{abs(h):g} hours {'ahead' if h > 0 else 'behind'}" for h in hours]
    assert_turned(supposed(Cause.TIME_ZONE, zone_hours=zone_hours), [h * HOUR for h in hours], said)


@pytest.mark.parametrize(
    ("day", "days", "said"),
    [
        (date(2026, 5, 11), 178, "2026-11-05 for 2026-05-11"),  # 20 + 30 + 31 + 31 + 30 + 31 + 5
        (date(2026, 12, 1), -323, "2026-01-12 for 2026-12-01"),  # 334 days before December, less 11
        (date(2026, 3, 12), 266, "2026-12-03 for 2026-03-12"),
    ],
)
def test_day_and_month_swapped(day, days, said):
    assert_turned(supposed(Cause.DAY_AND_MONTH_SWAPPED, local_date=day), [days * DAY], [said])


@pytest.mark.parametrize("day", [date(2026, 5, 13), date(2026, 5, 5), date(2026, 5, 31)])
def test_a_date_that_cannot_be_swapped_is_not(day):
    assert supposed(Cause.DAY_AND_MONTH_SWAPPED, local_date=day) is None


def test_longitudes():
    assert_turned(supposed(Cause.LONGITUDE_SIGN), [-2 * LON_DEG], [""])
    others = supposed(Cause.ANOTHER_SITES_LONGITUDE)
    assert_turned(others, [9.9 - LON_DEG, 3.1 - LON_DEG], ["Old Quarry", "Harbour"])
    assert supposed(Cause.ANOTHER_SITES_LONGITUDE, other_sites=()) is None


@pytest.mark.parametrize(
    ("lon_deg", "typed"),
    # 8.3 is 8 degrees 18 minutes, typed as 8.18; its decimals typed as 30 minutes are half a degree. 8.9: 54, and at
    # most a whole degree.
    [(8.3, [8.18, 8.5]), (-8.3, [-8.18, -8.5]), (8.9, [8.54, 9.0])],
)
def test_minutes_typed_as_decimals_and_the_reverse(lon_deg, typed):
    one = supposed(Cause.DEGREES_AND_MINUTES, lon_deg=lon_deg)
    assert_turned(one, [t - lon_deg for t in typed], ["longitude", "longitude"])


def test_a_wrong_latitude_counts_for_an_altazimuth_mount_only():
    assert supposed(Cause.LATITUDE) is None
    one = supposed(Cause.LATITUDE, mount_type=MountType.ALTAZ)
    # 47.3 is 47 degrees 18 minutes
    believed = np.array([-47.3, 47.18, 47.5, 47.1, 51.2])[:, None]
    expected = directions(HOUR_ANGLE_DEG + 0 * believed, DEC_DEG + 0 * believed, believed)
    assert_allclose(one.directions, expected, atol=1e-12)
    said = ["sign", "degrees and minutes", "decimal degrees", "that of Old Quarry", "that of Harbour"]
    assert [words(one, k) for k in range(5)] == said


@pytest.mark.parametrize(
    ("mount_type", "signs"), [(MountType.GERMAN, [-1, 1, 1]), (MountType.FORK, [1, 1, 1])]
)
def test_the_zero_of_declination_turns_over_with_the_tube_of_a_german_mount(mount_type, signs):
    one, zero = supposed(Cause.DECLINATION_ZERO, mount_type=mount_type), np.arange(-90, 90.5, 0.5)
    expected = directions(HOUR_ANGLE_DEG + 0 * zero[:, None], DEC_DEG + np.array(signs) * zero[:, None])
    assert_allclose(one.directions, expected, atol=1e-12)
    # judged: six degrees more are less likely by a factor of e
    assert_allclose(one.log_share - one.log_share[180], -np.abs(zero) / 6)
    assert np.exp(one.log_share).sum() == pytest.approx(1.0)
    assert words(one, 180 - 14) == "7.0° ± 0.1°"
    score = np.full(361, -np.inf)
    score[[180 + 10, 180 + 14]] = 0.0  # 5 and 7 degrees
    assert one.particulars(score) == "6.0° ± 1.0°"


def test_homes_of_an_altazimuth_mount_turn_about_the_vertical_and_raise():
    az, alt = erfa.hd2ae(np.radians(HOUR_ANGLE_DEG), np.radians(DEC_DEG), np.radians(LAT_DEG))
    az, alt, zero = np.degrees(az), np.degrees(alt), np.arange(-90, 90.5, 0.5)[:, None]
    raised = supposed(Cause.DECLINATION_ZERO, mount_type=MountType.ALTAZ)
    assert_allclose(raised.directions, horizontal(az + 0 * zero, alt + zero), atol=1e-12)
    turned, quarters = (
        supposed(Cause.HOUR_AXIS_HOME, mount_type=MountType.ALTAZ),
        np.array([[90], [-90], [180]]),
    )
    assert_allclose(turned.directions, horizontal(az + quarters, alt + 0 * quarters), atol=1e-12)
    assert [words(turned, k) for k in range(3)] == ["90", "90", "180"]


def test_homes_of_the_hour_axis():
    assert_turned(supposed(Cause.HOUR_AXIS_HOME), [90, -90, 180], ["90", "90", "180"])


@pytest.mark.parametrize(
    ("mount_type", "said"),
    [
        (MountType.GERMAN, ["5° ± 1° too high, 9° ± 1° to the east", "4° ± 1° too low, 6° ± 1° to the west"]),
        (
            MountType.ALTAZ,
            ["5° ± 1° to the north, 9° ± 1° to the east", "4° ± 1° to the south, 6° ± 1° to the west"],
        ),
    ],
)
def test_a_gross_polar_axis_is_that_of_the_mount_model_of_the_demo(mount_type, said):
    one = supposed(Cause.POLAR_AXIS, mount_type=mount_type)
    up, side = (grid.ravel() for grid in np.meshgrid(np.arange(-20, 21), np.arange(-60, 61, 1.5)))
    assert one.log_share.size == up.size
    altaz = np.full(up.size, mount_type is MountType.ALTAZ)
    head = Head(np.full(up.size, LAT_DEG), altaz, 60.0 * up, 60.0 * side)
    for star, direction in enumerate(directions(HOUR_ANGLE_DEG, DEC_DEG).T):
        expected = with_head_error(np.tile(direction, (up.size, 1)), head)
        assert_allclose(one.directions[:, :, star].T, expected, atol=1e-12)
    middle = np.flatnonzero((up == 0) & (side == 0))[0]
    # judged: four degrees of altitude or ten of azimuth more are less likely by a factor of e
    assert_allclose(one.log_share - one.log_share[middle], -np.abs(up) / 4 - np.abs(side) / 10)
    assert np.exp(one.log_share).sum() == pytest.approx(1.0)
    for (height, azimuth), sentence in zip([(5, 9), (-4, -6)], said, strict=True):
        assert words(one, np.flatnonzero((up == height) & (side == azimuth))[0]) == sentence


def test_coordinates_of_an_older_equinox():
    # By ERFA's precession (IAU 2006): what stands today at the numbers of the older equinox. 11 May is day 131.
    one, stars = supposed(Cause.EQUINOX), first_stars()
    assert_allclose(np.exp(one.log_share), [0.8, 0.2])  # judged
    today = 2451545.0 + (2026 + 131 / 365.25 - 2000) * 365.25
    then, ra = erfa.s2c(np.radians(stars.ra_deg), np.radians(DEC_DEG)), np.radians(stars.ra_deg)
    for variant, year in enumerate((2000.0, 1950.0)):
        to_then = erfa.pmat06(2451545.0, (year - 2000) * 365.25) @ np.linalg.inv(erfa.pmat06(today, 0.0))
        older_ra, older_dec = erfa.c2s(then @ to_then.T)
        shift = (np.degrees(ra - older_ra) + 180) % 360 - 180
        expected = directions(HOUR_ANGLE_DEG + shift, np.degrees(older_dec))
        assert_allclose(one.directions[:, variant], expected, atol=6e-4)  # two arcminutes: low accuracy
    assert [words(one, k) for k in (0, 1)] == ["2000 for today's", "1950 for today's"]


def test_a_wrong_star_is_looked_for_among_the_first_only():
    seen, sent = supposed(Cause.WRONG_STAR), supposed(Cause.SENT_TO_ANOTHER_STAR)
    right = directions(HOUR_ANGLE_DEG, DEC_DEG)
    for one in (seen, sent):
        assert_allclose(one.directions[:, :, 1:], np.repeat(right[:, None, 1:], 2, axis=1), atol=1e-12)
        assert [words(one, k) for k in (0, 1)] == ["Near", "Far"]
    assert_allclose(sent.directions[:, :, 0], directions(SKY.hour_angle_deg, SKY.dec_deg), atol=1e-12)
    # The near star is 5 degrees west, 5 cos(18) / cos(20) along the right one's parallel, and 2 degrees south: taken
    # for the right one, the mount seems as far to the other side of it.
    west = (HOUR_ANGLE_DEG[0] - SKY.hour_angle_deg) * np.cos(np.radians(SKY.dec_deg)) / np.cos(np.radians(20))
    expected = directions(HOUR_ANGLE_DEG[0] + west, 2 * DEC_DEG[0] - SKY.dec_deg)
    assert_allclose(seen.directions[:, :, 0], expected, atol=1e-12)


def test_a_bright_neighbour_is_taken_for_the_right_star_more_easily_than_one_far_away():
    # By ERFA the stars are 5.14 and 98 degrees away; e for a magnitude, and a bell of 5 degrees in which stars
    # are in view, beside the 100th or 20th part that any star has.
    away = np.degrees(
        erfa.seps(
            np.radians(HOUR_ANGLE_DEG[0]),
            np.radians(DEC_DEG[0]),
            np.radians(SKY.hour_angle_deg),
            np.radians(SKY.dec_deg),
        )
    )
    assert_allclose(away, [5.1, 98.1], atol=0.1)
    for cause, anywhere in ((Cause.WRONG_STAR, 0.01), (Cause.SENT_TO_ANOTHER_STAR, 0.05)):
        weight = np.exp(-SKY.magnitude) * (np.exp(-((away / 5.0) ** 2) / 2) + anywhere)
        assert_allclose(np.exp(supposed(cause).log_share), weight / weight.sum(), rtol=1e-6)


def test_the_right_star_is_not_taken_for_itself():
    both = BrightStars(
        ("Itself", "Near"),
        np.array([HOUR_ANGLE_DEG[0], -20.0]),
        np.array([DEC_DEG[0], 18.0]),
        np.array([0.0, 1.0]),
    )
    assert_allclose(np.exp(supposed(Cause.WRONG_STAR, catalogue=both).log_share), [0.0, 1.0])
    alone = BrightStars(("Itself",), both.hour_angle_deg[:1], both.dec_deg[:1], both.magnitude[:1])
    assert supposed(Cause.WRONG_STAR, catalogue=alone) is None


def test_without_a_catalogue_no_star_is_taken_for_another():
    nothing = np.zeros(0)
    assert supposed(Cause.WRONG_STAR, catalogue=BrightStars((), nothing, nothing, nothing)) is None
