"""Whether the scatter of good arrivals changed in the last mechanical era: gears that wear, a clutch that slips.

Half of what a mount's go-tos do is the polar axis as people set it; behind that a scatter may grow fourfold and be seen
in no landing error. The residuals of the fit tell it: the logarithm of each set-up's mean square, whose variance is
known, is compared before and after each place, within one person's set-ups, for people read differently well.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.estimates import Solution
from obslog.pointing.misfit.scatter_growth import ScatterCourse, course_of
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray

LEAST_BESIDE = 3
"""Set-ups on either side."""
LEAST_FREEDOM = 3
"""Of the comparison: with fewer it is not made."""
LEAST_DEGREES = 2.0
"""Of a set-up: with fewer its scatter is not known at all."""
LEVEL = 0.01
"""How often chance alone gives such a change, at all places together."""
LEAST_WITHOUT_ONE = 0.05
"""The same whichever set-up is left out: one windy night is no change."""
LEAST_FACTOR = 1.25
"""A change by less is seen by nobody; judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScatterChange:
    """From which set-up on arrivals scatter by what factor more, and how often chance alone gives as much.

    `before` is the last set-up before it of which the scatter is known: between the two it changed.
    `course` says whether they came to it bit by bit, from the set-up `first` on.
    """

    setup: int
    before: int
    factor: float
    chance: float
    first: int
    course: ScatterCourse


@dataclass(frozen=True, slots=True)
class _Step:
    """A step of the logarithm of the variance, (places,): its size and how often chance alone gives it there."""

    size: FloatArray
    chance: FloatArray


def scatter_change(solution: Solution, eras: IntArray, observers: list[str | None]) -> ScatterChange | None:
    """The change in the newest era that chance explains least, where that is hardly.

    Source: M. S. Bartlett, D. G. Kendall, Suppl. J. R. Stat. Soc. 8 (1946) 128, for comparing logarithms of variances.
    It is looked for as a step, which tells most of a growth too; which of the two it was is asked of what is found.
    """
    setups, square, degrees = setup_squares(solution)
    known = (eras[setups] == eras[-1]) & (degrees >= LEAST_DEGREES)
    setups, square, degrees = setups[known], square[known], degrees[known]
    if setups.size < 2 * LEAST_BESIDE + LEAST_FREEDOM:
        return None
    who = [observers[place] for place in setups.tolist()]
    value, sd = log_variances(square, degrees)
    places = range(LEAST_BESIDE, setups.size - LEAST_BESIDE + 1)
    step = _steps(value, sd, who, np.ones(setups.size, bool), places)
    likeliest = int(np.argmin(step.chance))
    place = places[likeliest]
    factor = float(np.exp(step.size[likeliest] / 2.0))
    chance = float(step.chance[likeliest]) * len(places)
    if chance > LEVEL or max(factor, 1.0 / factor) < LEAST_FACTOR:
        return None
    for one in range(setups.size):
        without = _steps(value, sd, who, np.arange(setups.size) != one, range(place, place + 1))
        if float(without.chance[0]) * len(places) > LEAST_WITHOUT_ONE:
            return None
    noise = float(solution.scatter.era_noise_arcmin[-1])
    course = course_of(value, sd, _levels(who), place, noise)
    return ScatterChange(
        setup=int(setups[place]),
        before=int(setups[place - 1]),
        factor=factor,
        chance=chance,
        first=int(setups[0]),
        course=course,
    )


def setup_squares(solution: Solution) -> tuple[IntArray, FloatArray, FloatArray]:
    """The set-ups (k,), how many times as large as expected the squares of their residuals are, and their freedom."""
    rows, measured = solution.rows, ~solution.rows.is_centring
    of_row = rows.tree.setup_of_row[measured]
    heard = solution.good[measured]
    free = 2.0 * heard * solution.scatter.freedom[measured]
    beside = (solution.residuals[:, measured] ** 2).sum(axis=0) / solution.row_sd_arcmin[measured] ** 2
    count = rows.setup_number.size
    degrees = np.bincount(of_row, free, count).astype(np.float64)
    square = np.bincount(of_row, heard * beside, count) / np.maximum(degrees, 1e-9)
    return rows.setup_number, square, degrees


def log_variances(square: FloatArray, degrees: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Logarithms of variances without the bias of few degrees of freedom, (k,), and their standard deviations.

    The logarithm of chi-square over its degrees has the mean psi(d/2) - ln(d/2) and the variance psi'(d/2).
    """
    from scipy.special import psi, zeta

    half = degrees / 2.0
    sd: FloatArray = np.sqrt(zeta(2, half))  # psi' is the zeta function of Hurwitz
    return np.log(np.maximum(square, 1e-12)) - psi(half) + np.log(half), sd


def _steps(
    value: FloatArray, sd: FloatArray, who: list[str | None], heard: BoolArray, places: range
) -> _Step:
    """A step at each place by weighted least squares, with a level for each person; by Student's t.

    Set-ups differ by more than their sd where arrivals have heavy tails: by how much is estimated, and never under it.
    """
    from scipy.special import stdtr

    levels = _levels(who) / sd[:, None]
    levels, told = levels[heard], (value / sd)[heard]
    size, chance = np.zeros(len(places)), np.ones(len(places))
    freedom = int(heard.sum()) - np.linalg.matrix_rank(levels) - 1
    if freedom < LEAST_FREEDOM:
        return _Step(size, chance)
    basis = np.linalg.qr(levels[:, levels.any(axis=0)])[0]
    left = told - basis @ (basis.T @ told)
    for number, place in enumerate(places):
        later = ((np.arange(value.size) >= place) / sd)[heard]
        own = later - basis @ (basis.T @ later)
        if (information := float(own @ own)) < 1e-6 * float(later @ later):
            continue  # one person before, another after: nobody can tell
        size[number] = float(own @ left) / information
        rest = float(((left - size[number] * own) ** 2).sum()) / freedom
        score = abs(size[number]) * np.sqrt(information / max(rest, 1.0))
        chance[number] = 2.0 * float(stdtr(freedom, -score))
    return _Step(size, chance)


def _levels(who: list[str | None]) -> FloatArray:
    """A column for each person, (k, people)."""
    people = sorted({str(name) for name in who})
    return np.array([[str(name) == one for one in people] for name in who], float)
