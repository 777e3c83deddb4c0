"""How often intervals of a budget hold the truth, in clubs whose every go-to is known to be made of what."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from obslog.pointing.budget.budget import Budget, budget
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.examined import examine
from obslog.pointing.model.frames import FloatArray
from obslog.values import Interval
from tests.pointing.budget.known_shares import really_done, true_shares
from tests.pointing.joint_fit.pointing_clubs import Club
from tests.pointing.joint_fit.rough_clubs import club_of
from tests.pointing.misfit.disturbed_clubs import GERMAN

SETUPS, FURTHER_NIGHTS = 10, 400
HALF = "now"


@dataclass
class Held:
    """Whether each interval held the truth, by the cause in words (or `HALF`)."""

    adds: defaultdict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))
    half: defaultdict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))


def coverage_of(story: str, seeds: Iterable[int], further_nights: int = FURTHER_NIGHTS) -> Held:
    """Counted in one club for each seed, whose radii are true of so many further nights."""
    held = Held()
    for seed in seeds:
        club = club_of(story, seed, GERMAN, setups=SETUPS)
        found, added, radii = (
            budget_of(club),
            true_shares(GERMAN, club),
            true_radii(
                club_of(
                    story, seed + 3_000_000, GERMAN, setups=further_nights, mechanical_arcmin=club.mechanical
                )
            ),
        )
        held.half[HALF].append(holds(found.half_arcmin, radii[HALF]))
        for part in found.parts:
            words = part.named.words
            # what is found and is not there does nothing
            held.half[words].append(holds(part.half_without_arcmin, radii.get(words, radii[HALF])))
            held.adds[words].append(holds(part.mean_square, added.get(part.named.cause, 0.0)))
    return held


def budget_of(club: Club) -> Budget:
    setups = club.polar.shape[0]
    eras = np.zeros(setups, dtype=np.int64)
    examined = examine(GERMAN, club.arrivals, eras, Circumstances.unknown(setups))
    return budget(GERMAN, club.arrivals, examined)


def true_radii(further: Club) -> dict[str, float]:
    """Within what half of the go-tos land on many further nights of the same mount: now, and without each cause."""
    done = really_done(GERMAN, further)
    whole = np.sum(list(done.values()), axis=0)
    radii = {str(cause): half_of(whole - one) for cause, one in done.items()}
    return radii | {HALF: half_of(whole)}


def half_of(offsets: FloatArray) -> float:
    return float(np.median(np.hypot(*offsets)))


def holds(interval: Interval, truth: float) -> bool:
    assert interval.low is not None
    assert interval.high is not None
    return interval.low <= truth <= interval.high
