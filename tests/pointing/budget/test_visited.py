"""How far each error throws go-tos off after a sync: against the demo's exact model."""

import numpy as np
import pytest

from obslog.pointing.budget.visited import visited
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.examined import examine
from obslog.vocabulary.mounts import Controller, MountType
from tests.pointing.budget.known_shares import really_done
from tests.pointing.joint_fit.pointing_clubs import simulate


@pytest.mark.parametrize(
    ("mount_type", "within"), [(MountType.GERMAN, 0.15), (MountType.FORK, 0.15), (MountType.ALTAZ, 0.5)]
)
def test_the_effects_are_those_of_the_exact_model(mount_type: MountType, within: float) -> None:
    """Where the fit is as good as exact: 60' of polar error and 30' of cone, arrivals to 0.001'."""
    machine = Machine(mount_type)
    club = simulate(
        np.random.default_rng(3), machine, setups=8, checks=8, noise_arcmin=0.001, centring_arcmin=0.001,
        polar_sd_arcmin=40.0, mechanical_arcmin=np.array([[25.0, -12.0, 3.0]]),
    )  # fmt: skip
    arrivals = club.arrivals
    examined = examine(machine, arrivals, np.zeros(8, dtype=np.int64), Circumstances.unknown(8))
    there = visited(machine, arrivals, examined, np.full(8, True))
    order = np.argsort(examined.solution.rows.arrival[there.row])
    errors = np.concatenate([club.polar[arrivals.setup], np.tile(club.mechanical[0], (72, 1))], axis=1)
    errors = errors[examined.solution.rows.arrival[there.row]].T
    truth = list(really_done(machine, club).values())
    assert there.refraction[:, order] == pytest.approx(truth[0], rel=0.005, abs=within)
    for place, columns in enumerate((slice(0, 2), slice(2, 3), slice(3, 4), slice(4, 5)), start=1):
        done = np.einsum("aqv,qv->av", there.effect[:, columns], errors[columns])
        assert done[:, order] == pytest.approx(truth[place], rel=0.005, abs=within)


def test_of_a_controller_with_a_model_only_what_came_before_its_second_sync_counts() -> None:
    machine = Machine(MountType.GERMAN, Controller.MODEL)
    club = simulate(np.random.default_rng(3), machine, setups=4, syncs=2, checks=5)
    examined = examine(machine, club.arrivals, np.zeros(4, dtype=np.int64), Circumstances.unknown(4))
    there = visited(machine, club.arrivals, examined, np.full(4, True))
    # the arrival of the second sync's own star, before it was centred, in each of four set-ups
    assert there.row.size == 4
    assert club.arrivals.is_sync[examined.solution.rows.arrival[there.row]].all()
