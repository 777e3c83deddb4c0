"""Times the star choice: run from the top of the tree with `python -m tests.benchmarks star_choice`."""

import numpy as np

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.planning.expected_landing import Knowledge
from obslog.pointing.planning.observable import Candidates, ObservableLimits, even_sky
from obslog.pointing.planning.star_choice import choose_sync_stars
from obslog.vocabulary.mounts import Controller, MountType
from tests.benchmarks.measuring import Report, in_turn
from tests.pointing.joint_fit.pointing_clubs import random_stars


def main(report: Report) -> None:
    rng = np.random.default_rng(3)
    stars = random_stars(rng, 300, 52.0, MountType.GERMAN)
    magnitude = rng.uniform(0, 3, 300)
    candidates = Candidates(
        stars=stars,
        magnitude=magnitude,
        hard_to_find=magnitude,
        moon_deg=np.full(300, 90.0),
        sun_deg=np.full(300, 120.0),
    )
    machine = Machine(MountType.GERMAN, Controller.MODEL)
    covariance = np.diag([2.0, 2.0, 1.0]) ** 2
    known = Knowledge(
        machine=machine,
        polar_mean=np.zeros(2),
        polar_sd=np.full(2, 25.0),
        mechanical_mean=np.array([8.0, 3.0, 1.0]),
        mechanical_covariance=covariance,
    )
    (taken,) = in_turn(
        [lambda: choose_sync_stars(candidates, ObservableLimits(), even_sky(52.0), known, 6, 40.0)], 3
    )
    report.add("6 sync stars out of 300, processor time", "", taken, at_most=1.5, unit=" s")
