"""What else may be at work is a column where the arrivals can tell it, and none where they cannot."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.columns import MOVED_DEG, Columns, columns_of
from obslog.pointing.model.frames import FloatArray, az_alt_deg
from obslog.pointing.model.geometry import StarPlaces
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import simulate
from tests.pointing.misfit.disturbed_clubs import GERMAN, SETUPS, in_turn, quiet

ARRIVALS = quiet(1).club.arrivals


def kinds(columns: Columns) -> list[MisfitKind]:
    return [cause.kind for cause in columns.causes]


def test_of_a_german_mount_with_two_observers_all_but_the_temperature_is_told() -> None:
    columns = columns_of(GERMAN, ARRIVALS, in_turn())
    assert kinds(columns) == ["side-of-pier", "observer", "observer", "direction", "altitude"]
    assert [cause.who for cause in columns.causes][1:3] == ["Bram", "Ines"]
    assert columns.values.shape == (2, 9, ARRIVALS.setup.size)


def test_a_fork_has_no_side_of_pier() -> None:
    columns = columns_of(Machine(MountType.FORK), ARRIVALS, in_turn())
    assert MisfitKind.SIDE_OF_PIER not in kinds(columns)


@pytest.mark.parametrize("observers", [[None] * SETUPS, ["Ines"] * SETUPS])
def test_one_observer_is_not_told_from_the_mount(observers: list[str | None]) -> None:
    circumstances = replace(in_turn(), observers=observers)
    assert MisfitKind.OBSERVER not in kinds(columns_of(GERMAN, ARRIVALS, circumstances))


@pytest.mark.parametrize(("warmest_c", "there"), [(12.0, True), (4.0, False)])
def test_the_temperature_is_told_where_it_differed(warmest_c: float, there: bool) -> None:
    circumstances = Circumstances(
        observers=[None] * SETUPS, temperature_c=np.linspace(0.0, warmest_c, SETUPS)
    )
    assert (MisfitKind.TEMPERATURE in kinds(columns_of(GERMAN, ARRIVALS, circumstances))) is there


def test_a_person_reads_what_is_measured_and_not_what_is_centred() -> None:
    columns = columns_of(GERMAN, ARRIVALS, in_turn())
    arrival = np.flatnonzero(np.isin(ARRIVALS.setup, [1]))
    measured = columns.of_rows(arrival, np.zeros(arrival.size, bool))
    centred = columns.of_rows(arrival, np.ones(arrival.size, bool))
    ines = columns.causes[2].columns
    assert_allclose(measured[:, ines[0]], [[1.0] * arrival.size, [0.0] * arrival.size])
    assert not centred[:, list(ines)].any()
    pier = columns.causes[0].columns[0]
    assert_allclose(centred[0, pier], ARRIVALS.stars.tube_west[arrival])


def stepped(stars: StarPlaces, east_deg: FloatArray, north_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """How far stars that are moved by so much move sideways along the horizon, and up, degrees."""
    moved = StarPlaces(
        stars.hour_angle_deg - east_deg / np.cos(np.radians(stars.dec_deg)),
        stars.dec_deg + north_deg,
        stars.lat_deg,
        stars.refraction_arcmin,
        stars.tube_west,
    )
    (az, alt), (az_there, alt_there) = (az_alt_deg(one.airless()) for one in (stars, moved))
    turned = (az_there - az + 180.0) % 360.0 - 180.0
    return turned * np.cos(np.radians(alt)), alt_there - alt


def test_an_alt_azimuth_mount_is_asked_whether_its_own_axes_have_slack() -> None:
    """That of azimuth moves stars along the horizon, that of altitude up and down, after the way that either went."""
    machine = Machine(MountType.ALTAZ)
    arrivals = simulate(np.random.default_rng(1), machine, setups=SETUPS, checks=5).arrivals
    stars = arrivals.stars
    columns = columns_of(machine, arrivals, in_turn())
    (slack,) = (cause for cause in columns.causes if cause.kind is MisfitKind.DIRECTION)
    az, alt = az_alt_deg(stars.airless())
    first = np.diff(arrivals.setup, prepend=-1) > 0
    turned, rose = (np.diff(az, prepend=0.0) + 180.0) % 360.0 - 180.0, np.diff(alt, prepend=0.0)
    turned, rose = (np.sign(moved) * (np.abs(moved) > MOVED_DEG) for moved in (turned, rose))
    east, north = 0.01 * columns.values[:, slack.columns[0]]
    sideways, up = stepped(stars, east, north)
    assert_allclose(sideways, np.where(first, 0.0, -0.01 * turned), atol=2e-4)
    assert_allclose(up, 0.0, atol=2e-4)
    east, north = 0.01 * columns.values[:, slack.columns[1]]
    sideways, up = stepped(stars, east, north)
    assert_allclose(up, np.where(first, 0.0, 0.01 * rose), atol=2e-4)
    assert_allclose(sideways, 0.0, atol=2e-4)


@pytest.mark.parametrize(
    ("mount_type", "known_over_the_meridian"), [(MountType.FORK, True), (MountType.GERMAN, False)]
)
def test_what_flips_may_have_come_from_either_side_and_what_does_not_has_come_from_one(
    mount_type: MountType, known_over_the_meridian: bool
) -> None:
    columns = columns_of(Machine(mount_type), ARRIVALS, in_turn())
    (slack,) = (cause for cause in columns.causes if cause.kind is MisfitKind.DIRECTION)
    west = ARRIVALS.stars.tube_west
    crossed = np.flatnonzero((np.diff(ARRIVALS.setup) == 0) & (west[1:] != west[:-1])) + 1
    assert crossed.size > SETUPS
    assert (columns.values[0, slack.columns[0], crossed] != 0).all() == known_over_the_meridian


def test_up_is_where_a_star_raised_a_little_goes() -> None:
    """The altitude's column, turned back into a step on the sky, raises a star and leaves its azimuth."""
    columns = columns_of(GERMAN, ARRIVALS, in_turn())
    low = columns.values[:, columns.causes[-1].columns[0]]
    stars = ARRIVALS.stars
    _, alt = az_alt_deg(stars.airless())
    east, north = low * 0.01 * np.tan(np.radians(alt))
    sideways, up = stepped(stars, east, north)
    assert_allclose(up, 0.01, rtol=0.02)
    assert_allclose(sideways, 0.0, atol=2e-4)
