"""What else may be at work is a column where the arrivals can tell it, and none where they cannot."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.columns import Columns, columns_of
from obslog.pointing.model.frames import az_alt_deg
from obslog.pointing.model.geometry import StarPlaces
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MountType
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


def test_up_is_where_a_star_raised_a_little_goes() -> None:
    """The altitude's column, turned back into a step on the sky, raises a star and leaves its azimuth."""
    columns = columns_of(GERMAN, ARRIVALS, in_turn())
    low = columns.values[:, columns.causes[-1].columns[0]]
    stars = ARRIVALS.stars
    az, alt = az_alt_deg(stars.airless())
    step_deg = 0.01 * np.tan(np.radians(alt))
    east, north = low * step_deg
    moved = StarPlaces(
        stars.hour_angle_deg - east / np.cos(np.radians(stars.dec_deg)),
        stars.dec_deg + north,
        stars.lat_deg,
        stars.refraction_arcmin,
        stars.tube_west,
    )
    az_there, alt_there = az_alt_deg(moved.airless())
    assert_allclose(alt_there - alt, 0.01, rtol=0.02)
    assert_allclose((az_there - az) * np.cos(np.radians(alt)), 0.0, atol=2e-4)
