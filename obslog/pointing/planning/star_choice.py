"""Which stars to sync on tonight, in which order, and what landing error to expect after each."""

from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np

from obslog.errors import ObslogError
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.pointing.model.geometry import StarPlaces
from obslog.pointing.planning.expected_landing import (
    Design,
    ExpectedLanding,
    Knowledge,
    expected_landing,
    mean_square_arcmin2,
)
from obslog.pointing.planning.lying_apart import lying_apart
from obslog.pointing.planning.observable import Candidates, ObservableLimits, in_sight
from obslog.vocabulary.mounts import Controller, MountType

ASSUMPTION = {
    Controller.SHIFT: "only the last sync counts, for each moves the zero points; those before show the polar axis",
    Controller.MODEL: "assumed: zero points and polar axis solved by least squares from all syncs",
}
MOST_PERMUTED = 7
NEARLY_AS_GOOD = 1.3
"""How much larger than the best star's the mean squared landing of an early sync may be; and, of an early star that is
for the record alone, that of all syncs solved together, so that it is easy to find. Judged."""
MOST_FOR_APART = 1.6
"""How much larger it may be so that the stars lie apart; judged. The last sync takes it all back."""
AS_GOOD = 1.05
"""How much farther out go-tos may land for stars that are easier to find: far less than the record leaves unsure of the
mount; judged."""
PASSES = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class SyncPlan:
    """The chosen stars (numbers of candidates) in order, the side of the tube, the landing after each."""

    stars: tuple[int, ...]
    tube_west: tuple[bool, ...]
    landings: tuple[ExpectedLanding, ...]
    flips: int
    assumption: str


class TooFewStars(ObslogError):
    def __init__(self, wanted: int, there: int) -> None:
        super().__init__(
            f"{wanted} stars are wanted, but only {there} satisfy the limits.",
            "Ask for fewer or a later time, or allow fainter or lower stars.",
        )


def choose_sync_stars(
    candidates: Candidates,
    limits: ObservableLimits,
    targets: StarPlaces,
    knowledge: Knowledge,
    syncs: int,
    field_arcmin: float | None = None,
) -> SyncPlan:
    """The stars whose syncs leave the smallest landing offset over the targets, or nearly, and are easy to find.

    Chosen greedily and then exchanged one by one until no exchange helps; then exchanged for bright, named and lonely
    ones as long as the root of the mean squared offset is at most AS_GOOD times the smallest found. The order keeps to
    one meridian flip and, for a `model` controller, lets the early syncs help most; for a `shift` controller the best
    star comes last, and before it those that are nearly as good and together tell most about the polar axis.
    Raises TooFewStars.
    Source: V. V. Fedorov, Theory of Optimal Experiments (1972), chapter 3 (exchange algorithm).
    """
    usable = np.flatnonzero(in_sight(candidates, limits))
    if usable.size < syncs:
        raise TooFewStars(syncs, usable.size)
    design = Design.of(knowledge.machine, candidates.stars, targets)
    west = candidates.stars.tube_west & (knowledge.machine.mount_type is MountType.GERMAN)
    if knowledge.machine.controller is Controller.SHIFT:
        order = _best_last(design, knowledge, candidates, usable, west, syncs)
    else:
        best = _exchanged(design, knowledge, usable, _greedy(design, knowledge, usable, syncs))
        chosen = _easier(design, knowledge, usable, best, candidates.hard_to_find)
        order = _best_order(design, knowledge, chosen, west)
    return SyncPlan(
        stars=tuple(int(star) for star in order),
        tube_west=tuple(bool(west[star]) for star in order),
        landings=tuple(
            expected_landing(design, knowledge, order[: count + 1], field_arcmin) for count in range(syncs)
        ),
        flips=_flips(west[order]),
        assumption=ASSUMPTION[knowledge.machine.controller],
    )


def _greedy(design: Design, knowledge: Knowledge, usable: IntArray, syncs: int) -> IntArray:
    chosen = np.zeros(0, dtype=np.int64)
    for _ in range(syncs):
        scores = _scores_with(design, knowledge, chosen, usable)
        chosen = np.append(chosen, usable[np.argmin(scores)])
    return chosen


def _exchanged(design: Design, knowledge: Knowledge, usable: IntArray, chosen: IntArray) -> IntArray:
    """The choice after exchanging stars one by one as long as that helps."""
    best = float(mean_square_arcmin2(design, knowledge, chosen))
    for _ in range(PASSES):
        before = best
        for place in range(chosen.size):
            others = np.delete(chosen, place)
            scores = _scores_with(design, knowledge, others, usable)
            if scores.min() < best:
                best = float(scores.min())
                chosen = np.append(others, usable[np.argmin(scores)])
        if best == before:
            break
    return chosen


def _easier(
    design: Design,
    knowledge: Knowledge,
    usable: IntArray,
    chosen: IntArray,
    hard_to_find: FloatArray,
) -> IntArray:
    """The choice after exchanging the hardest to find for the easiest that still lands as well."""
    limit = AS_GOOD**2 * float(mean_square_arcmin2(design, knowledge, chosen))
    exchanged = True
    while exchanged:
        exchanged = False
        for star in sorted(chosen.tolist(), key=lambda star: -hard_to_find[star]):
            others = chosen[chosen != star]
            scores = _scores_with(design, knowledge, others, usable)
            easiest = _easiest(usable, scores, hard_to_find, max(limit, float(scores.min())))
            if scores.min() <= limit and hard_to_find[easiest] < hard_to_find[star]:
                chosen = np.append(others, easiest)
                exchanged = True
                break
    return chosen


def _easiest(usable: IntArray, scores: FloatArray, hard_to_find: FloatArray, limit: float) -> int:
    """The easiest star to find whose score is at most the limit; of equals the one that scores best."""
    fitting = scores <= limit
    order = np.lexsort((scores[fitting], hard_to_find[usable[fitting]]))
    return int(usable[fitting][order[0]])


def _scores_with(design: Design, knowledge: Knowledge, chosen: IntArray, usable: IntArray) -> FloatArray:
    """Mean squared offsets with each usable star added; infinite for those already chosen."""
    alternatives = np.concatenate([np.tile(chosen, (usable.size, 1)), usable[:, None]], axis=1)
    scores = mean_square_arcmin2(design, knowledge, alternatives)
    scores[np.isin(usable, chosen)] = np.inf
    return scores


def _best_last(
    design: Design,
    knowledge: Knowledge,
    candidates: Candidates,
    usable: IntArray,
    west: BoolArray,
    syncs: int,
) -> IntArray:
    """For a controller that hears the last sync only: the easiest of the best stars last, with at most one flip.

    What arrives at the stars before it is chosen for the record, as if all syncs were solved together. They lie apart
    as far as the sky has such stars, for side by side they would tell of one place only, and of no cone error.
    """
    scores = mean_square_arcmin2(design, knowledge, usable[:, None])
    hard, mount_type = candidates.hard_to_find, knowledge.machine.mount_type
    solved = replace(knowledge, machine=replace(knowledge.machine, controller=Controller.MODEL))
    chosen = np.array([_easiest(usable, scores, hard, AS_GOOD**2 * scores.min())])
    for _ in range(syncs - 1):
        free = ~np.isin(usable, chosen)
        apart = free & lying_apart(mount_type, candidates.stars, chosen)[usable]
        apart &= scores <= MOST_FOR_APART * scores.min()
        fit = apart if apart.any() else free
        near = usable[fit & (scores <= NEARLY_AS_GOOD * scores[fit].min())]
        told = _scores_with(design, solved, chosen, near)
        chosen = np.append(chosen, _easiest(near, told, hard, NEARLY_AS_GOOD * told.min()))
    last, rest = chosen[0], usable[np.argsort(scores)]
    rest = rest[np.isin(rest, chosen[1:])]
    other_side = west[rest] != west[last]
    return np.concatenate([rest[other_side], rest[~other_side], [last]])


def _best_order(design: Design, knowledge: Knowledge, chosen: IntArray, west: BoolArray) -> IntArray:
    """The order with at most one flip whose prefixes land best, each prefix weighing alike (logarithms)."""
    if chosen.size > MOST_PERMUTED:
        return chosen[np.argsort(west[chosen] != west[chosen[0]], kind="stable")]
    orders = np.array(list(permutations(chosen)))
    flips = np.count_nonzero(np.diff(west[orders].astype(int), axis=1), axis=1)
    orders = orders[flips <= 1]
    total = sum(
        np.log(mean_square_arcmin2(design, knowledge, orders[:, :count]))
        for count in range(1, chosen.size + 1)
    )
    best: IntArray = orders[np.argmin(total)]
    return best


def _flips(west: BoolArray) -> int:
    return int(np.count_nonzero(np.diff(west.astype(int))))
