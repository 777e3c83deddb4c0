"""Whether a change came at once, as a knock does: not bit by bit, as wear does, nor as one of many from night to night.

A step is set against a steady drift; and it is judged by how far the term really differs from set-up to set-up, for a
tube that is clamped anew each night has another cone error each time.
"""

import numpy as np

from obslog.pointing.misfit.apart import TERMS, SetupInformation
from obslog.pointing.misfit.changes import TermChange
from obslog.pointing.model.frames import FloatArray, IntArray

LEAST_FREEDOM = 3


def over_drift(
    settled: SetupInformation, eras: IntArray, change: TermChange, prior_sd: FloatArray, scale: float
) -> float:
    """By how much the step explains more than a drift of the same term from set-up to set-up, as a chi-square.

    It is looked at in the two eras on either side of the change alone, so that a knock beside another one is a step
    still. `settled` has nothing else at work in it; `scale` is how many times as far as they should set-ups differ.
    Neglects: how long it was from one set-up to the next; a drift goes by use here.
    """
    beside = np.flatnonzero((eras == eras[change.setup]) | (eras == eras[change.setup - 1]))
    those = settled.of(beside)
    step = np.asarray(beside >= change.setup, float)
    drift = np.linspace(-1.0, 1.0, beside.size)
    told_by_step, told_by_drift = (explained(those, how, change.term, prior_sd) for how in (step, drift))
    return (told_by_step - told_by_drift) / scale**2


def explained(settled: SetupInformation, how: FloatArray, term: int, prior_sd: FloatArray) -> float:
    """The chi-square that a term which goes as `how` (k,) explains beside what all set-ups share."""
    information, told = settled.information, settled.told
    whole = np.linalg.inv(information.sum(axis=0) + np.diag(prior_sd**-2.0))
    along = how @ information[:, term]
    left = how**2 @ information[:, term, term] - along @ whole @ along
    size_times_left = how @ told[:, term] - along @ whole @ told.sum(axis=0)
    return float(size_times_left**2 / max(left, 1e-9))


def chance_of_scatter(
    settled: SetupInformation, first_eras: IntArray, eras: IntArray, change: TermChange, prior_sd: FloatArray
) -> float:
    """How often a term that differs from set-up to set-up gives as large a step at one of the places.

    `first_eras` are those on record, `eras` those that changes begin too. All found steps of the era on record are
    taken out; how far set-ups still differ is estimated beside what their arrivals explain, each step costing three
    degrees of freedom: its size, its place, and the choice. 1 where too few are left.

    Source: R. DerSimonian, N. Laird, Control. Clin. Trials 7 (1986) 177, for the variance between set-ups; Student's t,
    times the number of places and terms.
    """
    from scipy.special import stdtr

    term, telling = change.term, settled.information[:, change.term, change.term] > 0.0
    those = np.flatnonzero((first_eras == first_eras[change.setup]) & telling)
    values, weight, era = _of_one_term(settled, eras, those, term, prior_sd)
    steps = np.unique(era).size - 1
    freedom = those.size - 1 - 3 * steps
    if freedom < LEAST_FREEDOM:
        return 1.0
    mean = np.bincount(era, weight * values) / np.maximum(np.bincount(era, weight), 1e-12)
    square = float(weight @ (values - mean[era]) ** 2) * (those.size - steps - 1) / freedom
    heard = np.bincount(era, weight)
    shared = np.bincount(era, weight**2)[heard > 0] / heard[heard > 0]
    between = max(square - (those.size - steps - 1), 0.0) / max(float(weight.sum() - shared.sum()), 1e-12)
    of_each = 1.0 / (1.0 / weight + between)
    sides = [era == eras[change.setup] - 1, era == eras[change.setup]]
    told = [float(of_each[side].sum()) for side in sides]
    if min(told) <= 0.0:
        return 1.0
    before, after = (
        float(of_each[side] @ values[side]) / total for side, total in zip(sides, told, strict=True)
    )
    score = abs(after - before) / np.sqrt(1.0 / told[0] + 1.0 / told[1])
    return min(1.0, TERMS * those.size * 2.0 * float(stdtr(freedom, -score)))


def _of_one_term(
    settled: SetupInformation, eras: IntArray, those: IntArray, term: int, prior_sd: FloatArray
) -> tuple[FloatArray, FloatArray, IntArray]:
    """What each of those set-ups says of the term, with the others as in its era; its weight, and the eras."""
    information, told = settled.information, settled.told
    values = np.empty(those.size)
    for era in np.unique(eras[those]):
        its = eras == era
        all_terms = np.linalg.solve(
            information[its].sum(axis=0) + np.diag(prior_sd**-2.0), told[its].sum(axis=0)
        )
        all_terms[term] = 0.0
        mine = eras[those] == era
        at = those[mine]
        values[mine] = (told[at, term] - information[at, term] @ all_terms) / information[at, term, term]
    return values, information[those, term, term], eras[those]
