"""The slope and level of each mount's era after allowing for who set it up."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from obslog.intervals import student_t_95
from obslog.trends.own.club_model import ClubModel
from obslog.trends.own.own_dependence import SlopesKnown, own_dependences
from obslog.trends.own.own_verdict import HARD_TO_TELL, HIDING, OWN_LEVEL, OwnTrend
from obslog.trends.own.solving import Solved, solve
from obslog.trends.series.theil_sen import FEWEST_FOR_A_SLOPE, Slope
from obslog.values import Interval

Array = NDArray[np.float64]

FAR_OUT = 0.5
"""Of nights so far from the line of the others chance makes half a one in an era; none may carry a verdict alone."""
ANYBODY = 3.0
"""The sd among observers, in logarithms, where nothing is assumed of how alike they are; of tubes, sites likewise."""
FAMILIAR = 1e-3
"""And where all is known of them."""
COMMON_FREEDOM = (4.0, 60.0)


@dataclass(frozen=True, kw_only=True)
class _Lines:
    """Level and slope of each era (eras, 2), their covariance known and hidden (eras, 2, 2), scatter and freedom."""

    own: Array
    known: Array
    hidden: Array
    scatter: Array
    freedom: Array

    def slope_sd(self, known: Array) -> Array:
        return np.sqrt(self.scatter * known[..., 1, 1] + self.hidden[:, 1, 1])


@dataclass(frozen=True, kw_only=True)
class _Hiding:
    """Of which eras users, tubes or sites hide what the mount does, and which of these the most, each (eras,).

    `told_apart` is as in OwnTrend; `anybody` is solved with nothing assumed of how alike people, tubes or sites are.
    """

    anybody: Solved
    told_apart: Array
    hidden: NDArray[np.bool_]
    by: list[str]


@dataclass(frozen=True, kw_only=True)
class _Left:
    """What is left of each set-up beside the line of its era (n,), and how far that may be."""

    residual: Array
    sd: Array


def own_trends(model: ClubModel) -> list[OwnTrend]:
    """The trend of each era, in the order of the eras.

    A mount whose set-ups scatter more than the club's is given its own scatter as far as it is known: its squared
    residuals count beside those of the club, weighed by how much mounts differ in scatter. Where users hide what the
    mount does, nothing is assumed of how alike people are: only what it did under one user counts. So with tubes, and
    with sites.

    Source: G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 3 (2004) 3, for the moderated variance and its t distribution.
    """
    setups, hiding = model.setups, _hiding(model)
    lines = _lines(model, hiding)
    sd = lines.slope_sd(lines.known)
    p, rests_on = _without_any(model, lines, _left_of(model, hiding))
    follows = own_dependences(
        model, SlopesKnown(scatter=lines.scatter, freedom=lines.freedom, hidden=lines.hidden[:, 1, 1])
    )
    count = np.bincount(setups.era, minlength=setups.eras)
    found = []
    for era, begin in enumerate(np.flatnonzero(setups.begins)):
        end = begin + count[era]
        slope = None
        if setups.nights[era] >= FEWEST_FOR_A_SLOPE:
            slope = _slope(
                float(lines.own[era, 1]), float(sd[era]), float(lines.freedom[era]), int(count[era])
            )
        first_log, last_log = _ends_log(model, hiding, lines, era, [int(begin), int(end) - 1])
        carried = slope is not None and slope.p < OWN_LEVEL <= p[era]
        found.append(
            OwnTrend(
                slope=slope,
                p=max(slope.p, float(p[era])) if slope else 1.0,
                count=int(count[era]),
                nights=int(setups.nights[era]),
                told_apart=float(hiding.told_apart[era]),
                rests_on=int(rests_on[era] - begin) if carried else None,
                first_log=first_log,
                last_log=last_log,
                follows=[] if hiding.hidden[era] else follows[era],
                tubes=max(np.unique(setups.tube[begin:end]).size, 1),
                hidden_by=hiding.by[era],
            )
        )
    return found


def _hiding(model: ClubModel) -> _Hiding:
    anybody, familiar = _with_known(model), _with_known(model, *HIDING)
    told_apart = np.sqrt(_slope_variance(anybody) / _slope_variance(familiar))
    return _Hiding(
        anybody=anybody, told_apart=told_apart, hidden=told_apart > HARD_TO_TELL, by=_hidden_by(model)
    )


def _ends_log(
    model: ClubModel, hiding: _Hiding, lines: _Lines, era: int, ends: list[int]
) -> tuple[float, float]:
    """The line of an era at its first and its last set-up, with the tube of the last."""
    level, growth = (float(value) for value in lines.own[era])
    hidden = hiding.hidden[era]
    shared = (hiding.anybody if hidden else model.solved).shared
    there = float(model.with_tube(shared)[ends[1]])
    if hidden:  # of an average site nothing is known where nothing is assumed of how alike they are
        there += float(model.at_site(shared)[ends[1]])
    first, last = level + growth * model.setups.since_middle[ends] + there
    return float(first), float(last)


def _with_known(model: ClubModel, *known: str) -> Solved:
    """The answer where all is known of these, and nothing assumed of how alike the others of `HIDING` are."""
    spreads = {one: FAMILIAR if one in known else ANYBODY for one in HIDING}
    return solve(model.terms, replace(model.spreads, **spreads), model.plain)


def _hidden_by(model: ClubModel) -> list[str]:
    """Of each era what would have to be known to tell most of its slope, as a word of `HIDING`."""
    terms = model.terms
    there = {"observer": terms.observers, "tube": terms.tubes, "site": terms.sites}
    hiding = [one for one in HIDING if there[one] or one == "observer"]
    left = np.array([_slope_variance(_with_known(model, one)) for one in hiding])
    return [hiding[place] for place in np.argmin(left, axis=0).tolist()]


def _slope_variance(solved: Solved) -> Array:
    return np.asarray(solved.own_block[:, 1, 1] + solved.shared_block[:, 1, 1])


def _lines(model: ClubModel, hiding: _Hiding) -> _Lines:
    setups, solved = model.setups, model.solved
    freedom = np.maximum(setups.sums(model.plain) - 2, 0.0)
    common, club_freedom = common_scatter(solved.squares, freedom)
    anybody, hidden = hiding.anybody, hiding.hidden
    wide = hidden[:, None, None]
    return _Lines(
        own=np.where(hidden[:, None], anybody.own, solved.own),
        known=np.where(wide, anybody.own_block, solved.own_block),
        hidden=np.where(wide, anybody.shared_block, solved.shared_block),
        scatter=(club_freedom * common + solved.squares) / (club_freedom + freedom),
        freedom=club_freedom + freedom,
    )


def _without_any(model: ClubModel, lines: _Lines, left: _Left) -> tuple[Array, NDArray[np.intp]]:
    """The largest p of each era's slope without one of its far out nights, and the first set-up of that, (eras,).

    The set-ups of a night stand at one time, so that together they weigh as one that is better known.

    Source: R. D. Cook, S. Weisberg, Residuals and Influence in Regression, 1982, appendix A.2, for leaving out one.
    Neglects: that set-ups hang together, and what a set-up tells of its user.
    """
    from scipy.special import ndtri, stdtr

    setups, first = model.setups, model.setups.night_begins
    era, own = setups.era[first], lines.own[setups.era[first]]
    lever = np.column_stack([np.ones(first.size), setups.since_middle[first]])
    variance, residual = _of_nights(model, left)
    pull = np.einsum("nij,nj->ni", lines.known[era], lever)
    apart = np.maximum(1 - np.sum(pull * lever, axis=1) / variance, 0.05)
    growth = own[:, 1] - pull[:, 1] * residual / variance / apart
    known = lines.known[era, 1, 1] + pull[:, 1] ** 2 / variance / apart
    sd = np.sqrt(lines.scatter[era] * known + lines.hidden[era, 1, 1])
    p = 2 * stdtr(np.maximum(lines.freedom[era] - np.bincount(setups.night), 1.0), -np.abs(growth) / sd)
    own_variance = 1 / np.bincount(setups.night, weights=1 / (left.sd**2 * model.plain))
    line_variance = (1 - apart) / apart * variance
    away = np.abs(residual) / apart / np.sqrt(own_variance + line_variance)
    far_out = ndtri(1 - FAR_OUT / 2 / np.maximum(setups.nights, 2))[era]
    p = np.where(growth * own[:, 1] > 0, p, 1.0)
    p = np.where(away > far_out, p, 0.0)
    order = np.lexsort((p, era))
    last = np.r_[np.flatnonzero(np.diff(era)), first.size - 1]
    return p[order[last]], first[order[last]]


def _left_of(model: ClubModel, hiding: _Hiding) -> _Left:
    """What the line of each era leaves, by the answer that its line is from."""
    hidden = hiding.hidden[model.setups.era]
    return _Left(
        residual=np.where(hidden, hiding.anybody.residual, model.solved.residual),
        sd=np.where(hidden, hiding.anybody.sd, model.solved.sd),
    )


def _of_nights(model: ClubModel, left: _Left) -> tuple[Array, Array]:
    """The variance of what all set-ups of a night tell, and what is left of them on average, each (nights,)."""
    weight = 1 / left.sd**2
    variance = 1 / np.bincount(model.setups.night, weights=weight)
    return variance, variance * np.bincount(model.setups.night, weights=weight * left.residual)


def common_scatter(squares: Array, freedom: Array) -> tuple[float, float]:
    """The variance that mounts have in common, and for how many degrees of freedom it counts, from sums of squares.

    The logarithms of mean squares differ among mounts by chance, which is known, and by what mounts really differ.

    Source: G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 3 (2004) 3, section 6.2.
    """
    from scipy.special import psi, zeta

    enough = (freedom >= 3) & (squares > 0)
    least, most = COMMON_FREEDOM
    if enough.sum() < 3:
        return 1.0, 10.0
    own, its = squares[enough] / freedom[enough], freedom[enough] / 2
    told = np.log(own) - psi(its) + np.log(its)
    by_chance = zeta(2, its)
    real = float(np.mean((told - told.mean()) ** 2 * told.size / (told.size - 1) - by_chance))
    shares = np.geomspace(least, most, 60)  # zeta(2, d / 2) falls with d: the first at or under what is real
    fitting = np.flatnonzero(zeta(2, shares / 2) <= real)
    club = float(shares[fitting[0]]) if fitting.size else most
    level = float(np.exp(told.mean() + psi(club / 2) - np.log(club / 2)))
    return max(level, 0.5), club


def _slope(growth: float, sd: float, freedom: float, count: int) -> Slope:
    from scipy.special import stdtr

    half = student_t_95(freedom) * sd
    p = float(2 * stdtr(freedom, -abs(growth) / sd))
    return Slope(Interval(growth, growth - half, growth + half, count), p)
