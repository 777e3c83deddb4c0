"""Whether a change came at once, as a knock does, or bit by bit, as wear does: a step against a steady drift."""

import numpy as np

from obslog.pointing.misfit.apart import Apart
from obslog.pointing.misfit.changes import Change
from obslog.pointing.model.frames import FloatArray, IntArray


def over_drift(settled: Apart, eras: IntArray, change: Change, prior_sd: FloatArray, scale: float) -> float:
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


def explained(settled: Apart, how: FloatArray, term: int, prior_sd: FloatArray) -> float:
    """The chi-square that a term which goes as `how` (k,) explains beside what all set-ups share."""
    information, told = settled.information, settled.told
    whole = np.linalg.inv(information.sum(axis=0) + np.diag(prior_sd**-2.0))
    along = how @ information[:, term]
    left = how**2 @ information[:, term, term] - along @ whole @ along
    size_times_left = how @ told[:, term] - along @ whole @ told.sum(axis=0)
    return float(size_times_left**2 / max(left, 1e-9))
