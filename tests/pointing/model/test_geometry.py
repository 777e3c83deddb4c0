"""The mount's geometry against sheets of known truth, textbook terms, symmetry and its own inverse."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.pointing.model.frames import (
    az_alt_deg,
    equatorial_direction,
    horizontal_direction,
    separation_deg,
)
from obslog.pointing.model.geometry import (
    AxisErrors,
    StarPlaces,
    assumed_tube_west,
    axis_angles_rad,
    line_of_sight,
    predicted_offsets_arcmin,
    side_is_seen,
    zero_points_arcmin,
)
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_sheets import read_sheet

GERMAN, FORK, ALTAZ = MountType.GERMAN, MountType.FORK, MountType.ALTAZ


def offsets_at(hour_angle_deg, dec_deg, lat_deg, mount_type, tube_west=False, **errors):
    hour_angle, dec = np.broadcast_arrays(np.asarray(hour_angle_deg, float), np.asarray(dec_deg, float))
    stars = StarPlaces(
        hour_angle, dec, np.full(dec.shape, lat_deg), np.zeros(dec.shape), np.full(dec.shape, tube_west)
    )
    return predicted_offsets_arcmin(stars, mount_type, False, AxisErrors(**errors))


def rows_of(stars, chosen):
    return StarPlaces(*(getattr(stars, name)[chosen] for name in StarPlaces.__slots__))


def residuals_of(name):
    sheet = read_sheet(name)
    synced = np.flatnonzero(sheet.is_sync)
    zero_hour, zero_dec = zero_points_arcmin(
        rows_of(sheet.stars, synced), GERMAN, False, sheet.true_errors(sheet.setup[synced])
    )
    measured = np.flatnonzero(np.isfinite(sheet.east_arcmin))
    last_sync = np.searchsorted(synced, measured) - 1  # the sync before, for a sync's own arrival too
    truth = sheet.true_errors(sheet.setup[measured])
    errors = AxisErrors(
        zero_hour[last_sync],
        zero_dec[last_sync],
        *(getattr(truth, name) for name in AxisErrors.__slots__[2:]),
    )
    east, north = predicted_offsets_arcmin(rows_of(sheet.stars, measured), GERMAN, False, errors)
    return np.stack([sheet.east_arcmin[measured] - east, sheet.north_arcmin[measured] - north])


def test_the_exact_sheet_settles_every_sign():
    # The sheet's noise is 0.001'; a sync's centring error of 0.001' is carried to the poleward stars
    # enlarged.
    residuals = residuals_of("german_exact")
    assert np.sqrt(np.mean(residuals**2)) < 0.003
    assert np.abs(residuals).max() < 0.01


@pytest.mark.parametrize("name", ["german_one_sync", "german_three_syncs", "german_south"])
def test_noisy_sheets_leave_their_stated_noise(name):
    # Stated noise 2.0' per axis, 0.3' centring of the sync carried along; 95 to 111 values per sheet: sd of
    # rms 0.15'.
    rms = np.sqrt(np.mean(residuals_of(name) ** 2))
    assert rms == pytest.approx(2.05, abs=0.35)


def test_static_polar_misalignment_reading():
    # By hand: to the mount a star's declination is 90° less its distance from the mount's axis, here 12' too
    # high and 20' too far west at latitude 52. That distance is worked out by the cosine rule, in altitude and
    # azimuth.
    hour_angle_deg, dec_deg = np.array([-45.0, 0.0, 50.0]), np.array([20.0, 60.0, 0.0])
    errors = AxisErrors(polar_altitude_arcmin=12.0, polar_azimuth_arcmin=-20.0)
    _, dec_axis = axis_angles_rad(
        equatorial_direction(hour_angle_deg, dec_deg, 52.0), 52.0, False, FORK, errors
    )
    h, d, lat = np.radians(hour_angle_deg), np.radians(dec_deg), np.radians(52.0)
    axis_alt, axis_az = np.radians(52.0 + 12 / 60), np.radians(-20 / 60)
    alt = np.arcsin(np.sin(lat) * np.sin(d) + np.cos(lat) * np.cos(d) * np.cos(h))
    az = np.arctan2(-np.cos(d) * np.sin(h), np.sin(d) * np.cos(lat) - np.cos(d) * np.cos(h) * np.sin(lat))
    from_axis = np.arccos(
        np.sin(axis_alt) * np.sin(alt) + np.cos(axis_alt) * np.cos(alt) * np.cos(az - axis_az)
    )
    assert_allclose(np.degrees(dec_axis), 90 - np.degrees(from_axis), atol=1e-8)
    assert_allclose((90 - np.degrees(from_axis) - dec_deg) * 60, [-0.178, 11.990, 17.122], atol=0.003)


@pytest.mark.parametrize("lat_deg", [35.0, 52.0])
def test_small_errors_are_the_textbook_terms(lat_deg):
    # W. Chauvenet, A Manual of Spherical and Practical Astronomy, vol. 2 (1863), equatorial instrument: landing
    # minus target in declination -e cos h + a sin h, in hour angle -(e sin h + a cos h) tan d, with a on the sky;
    # cone -c / cos d and squareness p tan d in hour angle with the tube east of the pier, both with the other sign
    # west of it. Offsets are target minus landing.
    h, d = np.meshgrid([-80.0, -30.0, 0.0, 45.0, 75.0], [-20.0, 0.0, 40.0, 70.0])
    hr, dr = np.radians([h, d])
    near = 2e-3
    east, north = offsets_at(h, d, lat_deg, FORK, polar_altitude_arcmin=1.0)
    assert_allclose(north, np.cos(hr), atol=near)
    assert_allclose(east, -np.sin(hr) * np.sin(dr), atol=near)
    on_sky = np.cos(np.radians(lat_deg))
    east, north = offsets_at(h, d, lat_deg, FORK, polar_azimuth_arcmin=1.0)
    assert_allclose(north, -on_sky * np.sin(hr), atol=near)
    # Turning the azimuth adjuster also turns the hour axis by sin(latitude): a constant that the first sync
    # removes.
    constant = np.sin(np.radians(lat_deg)) * np.cos(dr)
    assert_allclose(east, constant - on_sky * np.cos(hr) * np.sin(dr), atol=near)
    for tube_west, sign in ((False, 1.0), (True, -1.0)):
        east, north = offsets_at(h, d, lat_deg, GERMAN, tube_west, cone_arcmin=1.0)
        assert_allclose(east, np.full(h.shape, -sign), atol=near)
        assert_allclose(north, 0.0 * h, atol=near)
        east, north = offsets_at(h, d, lat_deg, GERMAN, tube_west, squareness_arcmin=1.0)
        assert_allclose(east, sign * np.sin(dr), atol=near)
        assert_allclose(north, 0.0 * h, atol=near)
        east, north = offsets_at(h, d, lat_deg, GERMAN, tube_west, zero_dec_arcmin=1.0)
        assert_allclose(north, np.full(h.shape, -sign), atol=near)
        east, north = offsets_at(h, d, lat_deg, GERMAN, tube_west, zero_hour_arcmin=1.0)
        assert_allclose(east, np.cos(dr), atol=near)


def test_sag_lowers_by_the_cosine_of_altitude():
    # By definition: sag + where the tube points lower than it should, by sag x cos(altitude).
    alt_deg = np.array([0.0, 30.0, 60.0, 89.999])
    az_deg = np.array([10.0, 130.0, 220.0, 300.0])
    pointing = line_of_sight(
        np.radians(az_deg), np.radians(alt_deg), np.full(4, 50.0), ALTAZ, AxisErrors(sag_arcmin=6.0)
    )
    _, seen_alt_deg = az_alt_deg(pointing)
    assert_allclose((alt_deg - seen_alt_deg) * 60, 6.0 * np.cos(np.radians(alt_deg)), atol=1e-6)


def test_base_tilt_leans_the_azimuth_axis():
    # A base leaning north by t and swung with altitude angle 90 deg points at the axis itself: t north of the
    # zenith.
    for errors, az_deg in (({"polar_altitude_arcmin": 30.0}, 0.0), ({"polar_azimuth_arcmin": 30.0}, 90.0)):
        top = line_of_sight(0.3, np.pi / 2, -33.0, ALTAZ, AxisErrors(**errors))
        assert_allclose(top, horizontal_direction(az_deg, 89.5), atol=1e-12)


@pytest.mark.parametrize(("lat_deg", "pole_az_deg"), [(52.0, 0.0), (-33.0, 180.0)])
def test_polar_errors_move_the_visible_pole_up_and_east(lat_deg, pole_az_deg):
    toward_pole = np.copysign(np.pi / 2, lat_deg)
    for mount_type in (GERMAN, FORK):
        axis = line_of_sight(0.7, toward_pole, lat_deg, mount_type, AxisErrors(polar_altitude_arcmin=40.0))
        assert_allclose(axis, horizontal_direction(pole_az_deg, abs(lat_deg) + 40 / 60), atol=1e-12)
        axis = line_of_sight(0.7, toward_pole, lat_deg, mount_type, AxisErrors(polar_azimuth_arcmin=40.0))
        east_turn = np.copysign(40 / 60, lat_deg)
        assert_allclose(axis, horizontal_direction(pole_az_deg + east_turn, abs(lat_deg)), atol=1e-12)


@pytest.mark.parametrize(("lat_deg", "sign"), [(52.0, 1.0), (-33.0, -1.0)])
def test_squareness_leans_the_tube_end_toward_the_visible_pole(lat_deg, sign):
    # Tube east on the meridian: the tube's end of the declination axis points east; swinging the tube to
    # "declination 90 deg" with the axis leaning poleward by p brings the line of sight p to the west of the
    # pole (or east, south).
    pole = line_of_sight(0.0, np.pi / 2, lat_deg, GERMAN, AxisErrors(squareness_arcmin=20.0))
    assert pole[1] == pytest.approx(-sign * np.sin(np.radians(20 / 60)), abs=1e-12)


def test_cone_after_a_flip_doubles():
    # By hand: the line of sight stands 1° from square to the declination axis, on the other side after the flip.
    first = line_of_sight(0.0, 0.0, 50.0, GERMAN, AxisErrors(cone_arcmin=60.0))
    second = line_of_sight(np.pi, np.pi, 50.0, GERMAN, AxisErrors(cone_arcmin=60.0))
    assert separation_deg(first, second) == pytest.approx(2.0, abs=1e-9)
    assert first[1] > 0  # tube east leans east, away from the pier


def test_axes_of_a_perfect_mount_on_both_sides_see_the_same_star():
    h, d = np.radians([20.0, -50.0]), np.radians([30.0, 70.0])
    east = line_of_sight(h, d, 50.0, GERMAN, AxisErrors())
    west = line_of_sight(h + np.pi, np.pi - d, 50.0, GERMAN, AxisErrors())
    assert_allclose(east, equatorial_direction(np.degrees(h), np.degrees(d), 50.0), atol=1e-14)
    assert_allclose(west, east, atol=1e-14)


@pytest.mark.parametrize("mount_type", [GERMAN, FORK])
def test_a_southern_sky_is_a_northern_one_in_a_mirror(mount_type):
    # Mirror in the plane of the prime vertical (north <-> south): declination, latitude and north change
    # sign, hour angle and east stay. The mirrored machine has the same errors in words: too high, too far
    # east, outward, poleward.
    rng = np.random.default_rng(3)
    h, d = rng.uniform(-90, 90, 60), rng.uniform(-30, 80, 60)
    west = rng.random(60) < 0.5
    errors = AxisErrors(30.0, 0.0, 70.0, -50.0, 12.0, 8.0, 4.0)
    for zero_dec in (0.0, 25.0):
        north_sky = predicted_offsets_arcmin(
            StarPlaces(h, d, np.full(60, 48.0), np.zeros(60), west),
            mount_type,
            False,
            AxisErrors(30.0, zero_dec, 70.0, -50.0, 12.0, 8.0, 4.0),
        )
        south_sky = predicted_offsets_arcmin(
            StarPlaces(h, -d, np.full(60, -48.0), np.zeros(60), west),
            mount_type,
            False,
            AxisErrors(30.0, -zero_dec, *(getattr(errors, name) for name in AxisErrors.__slots__[2:])),
        )
        assert_allclose(south_sky[0], north_sky[0], atol=1e-9)
        assert_allclose(south_sky[1], -north_sky[1], atol=1e-9)


arcminutes = st.floats(-120.0, 120.0)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(list(MountType)),
    st.booleans(),
    st.floats(-70, 70),
    st.floats(-100, 100),
    st.floats(15, 75),
    st.lists(arcminutes, min_size=6, max_size=6),
    st.floats(0, 20),
)
def test_axis_angles_bring_the_mount_to_its_target(mount_type, west, lat_deg, az_deg, alt_deg, errors, sag):
    axis_errors = replace(AxisErrors(*errors), sag_arcmin=sag)
    target = horizontal_direction(az_deg, alt_deg)
    hour, dec = axis_angles_rad(target, lat_deg, west, mount_type, axis_errors)
    if not np.isfinite(dec):  # inside the hole around the pole
        assert np.hypot(errors[4], errors[5]) > 0
        return
    reached = line_of_sight(hour, dec, lat_deg, mount_type, axis_errors)
    assert separation_deg(reached, target) < 1e-8


@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from(list(MountType)),
    st.booleans(),
    st.booleans(),
    st.floats(-65, 65),
    st.floats(-80, 80),
    st.floats(-20, 70),
    st.lists(st.floats(-60.0, 60.0), min_size=4, max_size=4),
)
def test_a_synced_star_is_centred(
    mount_type, west, corrects_refraction, lat_deg, hour_angle_deg, dec_deg, errors
):
    star = StarPlaces(
        np.array([hour_angle_deg]),
        np.array([dec_deg]),
        np.array([lat_deg]),
        np.array([3.0]),
        np.array([west]),
    )
    assume(
        az_alt_deg(star.airless())[1][0] < 89.9
    )  # at the zenith up has no direction, and sag none to follow
    bare = replace(AxisErrors(0.0, 0.0, *errors), sag_arcmin=2.0)
    zero_hour, zero_dec = zero_points_arcmin(star, mount_type, corrects_refraction, bare)
    if not np.isfinite(zero_dec[0]):
        return
    east, north = predicted_offsets_arcmin(
        star,
        mount_type,
        corrects_refraction,
        replace(bare, zero_hour_arcmin=zero_hour, zero_dec_arcmin=zero_dec),
    )
    assert_allclose([east[0], north[0]], [0.0, 0.0], atol=1e-5)


def test_refraction_is_an_offset_unless_the_controller_corrects_it():
    # Star on the meridian south of the zenith, raised 2': it stands 2' north of where an uncorrected mount
    # points.
    star = StarPlaces(np.array([0.0]), np.array([10.0]), np.array([50.0]), np.array([2.0]), np.array([False]))
    for mount_type in MountType:
        east, north = predicted_offsets_arcmin(star, mount_type, False, AxisErrors())
        assert_allclose([east[0], north[0]], [0.0, 2.0], atol=1e-5)
        east, north = predicted_offsets_arcmin(star, mount_type, True, AxisErrors())
        assert_allclose([east[0], north[0]], [0.0, 0.0], atol=1e-9)


def test_two_degree_polar_errors_are_exact():
    # An axis 2 deg too high at latitude 50 is the axis of a perfect mount at latitude 52.
    errors = AxisErrors(polar_altitude_arcmin=120.0)
    landing = line_of_sight(np.radians(90.0), np.radians(80.0), 50.0, FORK, errors)
    assert_allclose(landing, equatorial_direction(90.0, 80.0, 52.0), atol=1e-13)


def test_assumed_side_is_opposite_the_target():
    assert assumed_tube_west(np.array([-30.0, 0.0, 45.0, 330.0])).tolist() == [True, False, False, True]


@pytest.mark.parametrize("lat_deg", [69.0, 52.0, -34.0])
def test_the_tube_is_seen_on_its_side_of_the_pier_within_six_hours_of_the_meridian(lat_deg):
    # A cone error leans outward from the pier, that is to where the tube's end of the declination axis lies.
    hour_angle = np.array([-175.0, -95.0, -85.0, -10.0, 10.0, 85.0, 95.0, 175.0, 355.0])
    axes = np.radians(hour_angle), np.zeros(hour_angle.size)
    straight, leaning = (
        line_of_sight(*axes, lat_deg, GERMAN, AxisErrors(cone_arcmin=cone)) for cone in (0.0, 1.0)
    )
    seen_east = (leaning - straight)[1] > 0
    assert side_is_seen(hour_angle).tolist() == seen_east.tolist()
