"""Times the joint fit: run from the top of the tree with `python -m tests.benchmarks joint_fit`.

Against scipy.optimize.least_squares set-up by set-up on the same set-ups, which gives less: every set-up for itself, no
wrong arrivals, noise taken as known.
"""

from collections.abc import Callable

import numpy as np
from scipy.optimize import least_squares

from obslog.pointing.joint_fit.arrivals import Machine, Priors
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.model.geometry import AxisErrors, StarPlaces, predicted_offsets_arcmin
from obslog.vocabulary.mounts import MountType
from tests.benchmarks.measuring import Report, in_turn, peak_mb
from tests.pointing.joint_fit.pointing_clubs import Club, simulate

BESIDE = 300
MACHINE = Machine(MountType.GERMAN)


def club_of(setups: int) -> Club:
    rng = np.random.default_rng(1)
    return simulate(rng, MACHINE, setups=setups, checks=8, wrong_share=0.03, eras=setups // 100)


def fit_of(club: Club) -> Callable[[], object]:
    return lambda: fit_pointing(MACHINE, club.arrivals, np.arange(club.polar.shape[0]) // 100)


def fit_once(setups: int) -> None:
    """For the memory of a process that does this and nothing else."""
    fit_of(club_of(setups))()


def set_up_by_set_up(club: Club) -> None:
    for setup in range(club.polar.shape[0]):
        _fit_alone(club, setup)


def _fit_alone(club: Club, setup: int) -> None:
    arrivals = club.arrivals
    chosen = np.flatnonzero(arrivals.setup == setup)
    stars = StarPlaces(*(getattr(arrivals.stars, name)[chosen] for name in StarPlaces.__slots__))
    east, north = arrivals.offset_east_arcmin[chosen], arrivals.offset_north_arcmin[chosen]
    sd = np.where(arrivals.is_sync[chosen], arrivals.centring_arcmin[chosen], 2.0)
    prior = Priors().by_unknown()

    def residuals(values: np.ndarray) -> np.ndarray:
        offsets = predicted_offsets_arcmin(stars, MACHINE.mount_type, False, AxisErrors(*values))
        seen = np.nan_to_num(np.stack([east, north]))
        return np.concatenate([((seen - np.stack(offsets)) / sd).ravel(), values / prior])

    least_squares(residuals, np.zeros(7), loss="linear", method="trf")


def main(report: Report) -> None:
    small, large = club_of(1_200), club_of(12_000)
    one, ten = in_turn([fit_of(small), fit_of(large)], 3)
    what = f"joint fit, {large.arrivals.setup.size:,} arrivals in 12,000 set-ups"
    report.add(what, "a tenth of them", ten / one, at_most=12)
    report.add("the same, processor time", "", ten, at_most=4, unit=" s")
    report.add(
        "the same, peak memory of a process of its own",
        "",
        peak_mb(__name__, "fit_once", 12_000),
        at_most=500,
        unit=" MB",
    )
    some = club_of(BESIDE)
    ours, alone = in_turn([fit_of(some), lambda: set_up_by_set_up(some)], 2)
    report.add(
        f"scipy's `least_squares`, {BESIDE} set-ups one by one",
        "the joint fit of the same",
        alone / ours,
        at_least=30,
        unit=" times",
    )
