"""Whether something else is at work, given what is taken to be at work already; how large it is, and what it does.

Mechanics of each era are eliminated; what is left is information about the further columns.
"""

from dataclasses import dataclass
from math import erfc, exp, sqrt

import numpy as np

from obslog.pointing.joint_fit.elimination import add_prior, eliminated
from obslog.pointing.misfit.apart import TERMS, SetupInformation
from obslog.pointing.model.frames import FloatArray, IntArray


@dataclass(frozen=True, slots=True)
class Effects:
    """Values of some columns (q,), and their covariance."""

    values: FloatArray
    covariance: FloatArray


def effects(
    apart: SetupInformation,
    eras: IntArray,
    columns: list[int],
    mechanical_sd: FloatArray,
    expected: FloatArray,
) -> Effects:
    """The values of those columns; `expected` (q,) are the standard deviations of their priors, about zero."""
    left = _without_mechanics(apart.about(columns), eras, mechanical_sd)
    covariance = np.linalg.inv(left[:-1, :-1] + np.diag(expected**-2.0)).astype(np.float64, copy=False)
    return Effects(covariance @ left[:-1, -1], covariance)


def chance_of(
    apart: SetupInformation,
    eras: IntArray,
    taken: list[int],
    asked: tuple[int, ...],
    mechanical_sd: FloatArray,
    expected: FloatArray,
    scale: float,
) -> float:
    """How often chance alone gives as much as is seen of the columns asked about, given those that are taken.

    Square of the values in units of their covariance, against chi-square of one or two degrees of freedom.
    """
    left = _without_mechanics(apart.about([*taken, *asked]), eras, mechanical_sd)
    blocks = left[None]
    if taken:
        add_prior(blocks, np.zeros((1, len(taken))), expected[: len(taken)] ** -2.0)
        *_, blocks = eliminated(blocks, len(taken))
    information, told = blocks[0, :-1, :-1], blocks[0, :-1, -1]
    square = float(told @ np.linalg.pinv(information, hermitian=True, rcond=1e-6) @ told) / scale**2
    return erfc(sqrt(max(square, 0.0) / 2.0)) if len(asked) == 1 else exp(-square / 2.0)


def _without_mechanics(apart: SetupInformation, eras: IntArray, mechanical_sd: FloatArray) -> FloatArray:
    """What is left of the columns, (q + 1, q + 1) with the right-hand side last."""
    size = apart.told.shape[1]
    whole = np.zeros((int(eras.max()) + 1, size + 1, size + 1))
    np.add.at(whole[:, :-1, :-1], eras, apart.information)
    np.add.at(whole[:, :-1, -1], eras, apart.told)
    whole[:, -1, :-1] = whole[:, :-1, -1]
    add_prior(whole, np.zeros((whole.shape[0], TERMS)), mechanical_sd**-2.0)
    *_, left = eliminated(whole, TERMS)
    of_columns: FloatArray = left.sum(axis=0)
    return of_columns
