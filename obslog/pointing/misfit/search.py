"""The search for what is left out: the least likely to be chance is taken first, then what is left is looked at again.

So two explanations of one thing are not both taken: with the better one at work the other has nothing left to explain.
"""

from dataclasses import dataclass, replace

import numpy as np

from obslog.pointing.misfit.apart import OwnFits
from obslog.pointing.misfit.changes import TermChange
from obslog.pointing.misfit.columns import Columns, PossibleCause
from obslog.pointing.misfit.effects import Effects
from obslog.pointing.misfit.look import SearchState
from obslog.pointing.misfit.sudden import chance_of_scatter, over_drift
from obslog.pointing.model.frames import FloatArray, IntArray

LEVEL = 0.01
"""How often, in all looks together, chance alone is taken for something: by S. Holm, Scand. J. Stat. 6 (1979) 65."""
MOST_FOUND, MOST_ASTRAY = 40, 5


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundMisfit:
    """What was found: changes, causes with the values of their columns, the eras (k,) that changes make, the scale.

    `scale` is how many times as far as they should set-ups still differ: by it all uncertainties are widened.
    `looks` is how many explanations were tried.
    """

    changes: tuple[TermChange, ...]
    causes: tuple[tuple[PossibleCause, float], ...]
    columns: tuple[int, ...]
    effects: Effects
    eras: IntArray
    scale: float
    looks: int


def search(
    own: OwnFits, columns: Columns, eras: IntArray, mechanical_sd: FloatArray, rng: np.random.Generator
) -> FoundMisfit:
    """Look for what is left out; each thing with how often chance alone gives as much.

    A set-up that tells a cause alone is set aside; once there were MOST_ASTRAY of these such a cause is passed over.
    """
    changes: list[TermChange] = []
    causes: list[tuple[PossibleCause, float]] = []
    astray: list[int] = []
    passed_over: list[PossibleCause] = []
    on_record = eras
    looks = 0
    while True:
        heard = own.apart(eras).silenced(astray)
        look = SearchState.at(heard, columns, eras, mechanical_sd, causes, passed_over)
        change, (cause, chance) = look.likeliest_change(rng), look.likeliest_cause()
        looks = max(looks, look.others + (change is not None))
        least = min(chance, change.p if change else 1.0)
        if least * looks > LEVEL or len(changes) + len(causes) == MOST_FOUND:
            break
        if change is not None and change.p == least:
            changes.append(change)
            eras = split(eras, change.setup)
        elif (alone := look.told_by_one(cause)) is None:
            causes.append((cause, chance))
        elif len(astray) < MOST_ASTRAY:
            astray.append(alone)
        else:
            passed_over.append(cause)
    settled = look.apart.without(look.taken, look.at_work.values)
    return FoundMisfit(
        changes=tuple(
            replace(
                change,
                over_drift=over_drift(settled, eras, change, mechanical_sd, look.scale),
                by_scatter=chance_of_scatter(settled, on_record, eras, change, mechanical_sd),
            )
            for change in changes
        ),
        causes=tuple(causes),
        columns=tuple(look.taken),
        effects=look.at_work,
        eras=eras,
        scale=look.scale,
        looks=looks,
    )


def split(eras: IntArray, setup: int) -> IntArray:
    """The eras with a new one from that set-up on to the end of its own."""
    later = np.arange(eras.size) >= setup
    result: IntArray = eras + (later & (eras >= eras[setup]))
    return result
