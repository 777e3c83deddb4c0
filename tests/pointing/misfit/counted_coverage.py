"""How often the stated uncertainties of a fit that was looked at again hold the truth."""

from collections import defaultdict
from collections.abc import Iterable

import numpy as np

from obslog.pointing.joint_fit.answer import PointingFit
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.examined import examine
from tests.pointing.joint_fit.pointing_clubs import Club
from tests.pointing.joint_fit.rough_clubs import club_of
from tests.pointing.misfit.disturbed_clubs import GERMAN

TERMS = "cone", "squareness", "sag"
POLAR = "polar axis"


def scores_of(story: str, seeds: Iterable[int], setups: int = 10, checks: int = 5) -> dict[str, list[float]]:
    """(estimate - truth) / sd of each mechanical term, and of both polar errors of each set-up, over all clubs."""
    found: defaultdict[str, list[float]] = defaultdict(list)
    for seed in seeds:
        club = club_of(story, seed, GERMAN, setups=setups, checks=checks)
        eras = np.zeros(setups, dtype=np.int64)
        fit = examine(GERMAN, club.arrivals, eras, Circumstances.unknown(setups)).fit
        for name, score in _scores(fit, club):
            found[name].append(score)
    return found


def _scores(fit: PointingFit, club: Club) -> list[tuple[str, float]]:
    newest = fit.mechanical[-1]
    mechanical = zip(
        TERMS, (newest.cone, newest.squareness, newest.sag), club.mechanical[-1].tolist(), strict=True
    )
    polar = (
        (POLAR, one, truth)
        for setup, errors in zip(fit.setups, club.polar.tolist(), strict=True)
        for one, truth in zip((setup.polar_altitude, setup.polar_azimuth), errors, strict=True)
    )
    return [(name, (one.value - truth) / one.sd) for name, one, truth in [*mechanical, *polar]]


def share_held(scores: Iterable[float]) -> float:
    """How often the truth lay within 1.96 sd."""
    return float(np.mean(np.abs(list(scores)) < 1.96))
