"""Times the joint fit: run from the top of the tree with `python -m tests.benchmarks joint_fit`.

Numbers to keep: over 100,000 arrivals in 12,000 set-ups under 4 s and 500 MB in one process; at least 30
times faster than scipy.optimize.least_squares set-up by set-up (timed on 100 set-ups, times 120); ten times
the data at most 12 times.
"""

import resource
import time

import numpy as np
from scipy.optimize import least_squares

from obslog.pointing.joint_fit.fit import Priors, fit_pointing
from obslog.pointing.joint_fit.rows import Machine
from obslog.pointing.model.geometry import AxisErrors, StarPlaces, predicted_offsets_arcmin
from obslog.vocabulary import MountType
from tests.pointing.joint_fit.pointing_clubs import Club, simulate

MACHINE = Machine(MountType.GERMAN)


def club_of(setups: int) -> Club:
    options = {"checks": 8, "wrong_share": 0.03, "eras": setups // 100}
    return simulate(np.random.default_rng(1), MACHINE, setups=setups, **options)


def seconds_of_joint_fit(club: Club) -> float:
    setups = club.polar.shape[0]
    start = time.perf_counter()
    fit_pointing(MACHINE, club.arrivals, np.arange(setups) // 100)
    return time.perf_counter() - start


def seconds_set_up_by_set_up(club: Club, setups: int) -> float:
    start = time.perf_counter()
    for setup in range(setups):
        _fit_alone(club, setup)
    return time.perf_counter() - start


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


def main() -> None:
    small, large = club_of(1_200), club_of(12_000)
    seconds_of_joint_fit(club_of(100))
    one, ten = (min(seconds_of_joint_fit(club) for _ in range(5)) for club in (small, large))
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    alone = seconds_set_up_by_set_up(large, 100) * 120
    print(
        f"{large.arrivals.setup.size} arrivals in 12,000 set-ups: {ten:.2f} s, peak memory {megabytes:.0f} MB"
    )
    print(f"a tenth of it: {one:.2f} s; ten times the data takes {ten / one:.1f} times as long")
    print(f"set-up by set-up with scipy (100 timed): {alone:.0f} s, {alone / ten:.0f} times as long")
