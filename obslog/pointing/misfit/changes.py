"""Changes of cone, squareness or sag that nobody wrote down: at which set-up, of what, how large, how sure.

Every set-up may be the first after a change, of any of the three. The largest of these many scores is compared with
the largest ones of the same set-ups when only chance is at work, drawn many times: so looking everywhere is paid for.
Scores are in units of how much neighbouring set-ups really differ, in the draws as in the data.
"""

from dataclasses import dataclass, replace
from math import erfc, sqrt

import numpy as np

from obslog.pointing.misfit.apart import TERMS, SetupInformation, neighbours_differ
from obslog.pointing.misfit.circumstances import LEAST_SETUPS
from obslog.pointing.model.frames import FloatArray, IntArray

DRAWS = 499
LEAST_WITHOUT_ONE = 2.5
"""Standard deviations that a change keeps, whichever set-up is left out: one set-up gone astray is not a change."""
MOST_SET_ASIDE, DOUBTED_BELOW = 3, 0.05
LEAST_DIFFERENCES = 2
"""Of neighbours, to say how far set-ups differ."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TermChange:
    """A change of a term (0 cone, 1 squareness, 2 sag) at a set-up, its size, and how often chance alone gives one.

    `before` is the last set-up before it that tells anything of the mount: between the two it came.

    `over_drift` is how much better, as a chi-square, it explains the set-ups than a steady drift, `by_scatter` how
    often a term that differs from set-up to set-up gives as much; they are known once all that is left out is.
    """

    setup: int
    before: int
    term: int
    size_arcmin: float
    sd_arcmin: float
    p: float
    over_drift: float = 0.0
    by_scatter: float = 1.0


def likeliest_change(
    apart: SetupInformation, eras: IntArray, prior_sd: FloatArray, rng: np.random.Generator
) -> TermChange | None:
    """The change inside one of the eras that chance explains least; None where no era has set-ups enough.

    `prior_sd` (p,) is of the terms and the further columns. Source: the largest of many scores against its own
    distribution: P. H. Westfall, S. S. Young, Resampling-Based Multiple Testing (1993), chapter 2.
    """
    found = []
    telling = apart.telling()
    for era in np.unique(eras):
        setups = telling[eras[telling] == era]
        if setups.size >= 2 * LEAST_SETUPS:
            found.append(_in_era(apart, setups, prior_sd, rng))
    return min(found, key=lambda change: change.p) if found else None


def scale_of(apart: SetupInformation) -> FloatArray:
    """How many times as far as their uncertainties neighbouring set-ups differ, (...), never less than once.

    It is not the scale of a look (`look.scatter`), though both are of neighbours. That one widens uncertainties for
    good, and leans on 1 where set-ups are few; leaning here, chance was called a change in 51 of 300 mounts whose
    set-ups scatter by three times what they say, instead of 20. That one does not hear the largest quarter, for wrong
    stars in some set-ups; here it would cost power: 97 of 120 knocks of 3' were found instead of 110.

    The largest difference is left out, for a change is one; by how much that lowers the mean is nearly the same in
    the draws.
    """
    differ = np.sort(neighbours_differ(apart), axis=-1)[..., :-1]
    if differ.shape[-1] < LEAST_DIFFERENCES:
        return np.ones(differ.shape[:-1])
    scale: FloatArray = np.sqrt(np.maximum(differ.mean(axis=-1) / TERMS, 1.0))
    return scale


def _in_era(
    apart: SetupInformation, setups: IntArray, prior_sd: FloatArray, rng: np.random.Generator
) -> TermChange:
    """The likeliest change that several set-ups tell: one that tells it alone is set aside, and all looked at anew.

    Numbers of set-ups are those of the whole record, of which `setups` (k,) are looked at.
    """
    for _ in range(MOST_SET_ASIDE):
        those = apart.of(setups)
        change = _likeliest(those, prior_sd, rng)
        found = replace(change, setup=int(setups[change.setup]), before=int(setups[change.before]))
        alone = _told_by_one(those, change, prior_sd) if change.p <= DOUBTED_BELOW else None
        if alone is None:
            return found
        setups = np.delete(setups, alone)
        if setups.size < 2 * LEAST_SETUPS:
            break
    return replace(found, p=1.0)


def _likeliest(apart: SetupInformation, prior_sd: FloatArray, rng: np.random.Generator) -> TermChange:
    sizes, sds = _changes(apart, prior_sd)
    scale = float(scale_of(apart))
    scores = np.abs(sizes) / sds / scale
    place, term = np.unravel_index(np.argmax(scores), scores.shape)
    score = float(scores[place, term])
    return TermChange(
        setup=int(place) + LEAST_SETUPS,
        before=int(place) + LEAST_SETUPS - 1,
        term=int(term),
        size_arcmin=float(sizes[place, term]),
        sd_arcmin=float(sds[place, term]) * scale,
        p=_chance_of(score, apart, prior_sd, rng),
    )


def _chance_of(
    score: float, apart: SetupInformation, prior_sd: FloatArray, rng: np.random.Generator
) -> float:
    """How often the largest score is as large by chance; beyond what draws can tell the tail times the looks."""
    places = apart.told.shape[0] - 2 * LEAST_SETUPS + 1
    at_most: float = places * TERMS * erfc(score / sqrt(2.0))
    if at_most < 1.0 / DRAWS**2:
        return at_most
    drawn = _drawn(apart, rng)
    sizes, sds = _changes(drawn, prior_sd)
    largest = (np.abs(sizes) / sds).max(axis=(1, 2)) / scale_of(drawn)
    as_large = int(np.count_nonzero(largest >= score))
    by_draws = (1 + as_large) / (1 + DRAWS)
    return by_draws if as_large else min(by_draws, at_most)


def _told_by_one(apart: SetupInformation, change: TermChange, prior_sd: FloatArray) -> int | None:
    """The set-up without which there is no change to be seen, if there is one."""
    term, later = change.term, np.arange(apart.told.shape[0]) >= change.setup
    each, told = apart.information, apart.told
    after = each[later].sum(axis=0) - each * later[:, None, None]
    told_after = told[later].sum(axis=0) - told * later[:, None]
    share = after[:, term, None] @ np.linalg.inv(each.sum(axis=0) - each + np.diag(prior_sd**-2.0))
    left = np.maximum(after[:, term, term] - (share[:, 0] * after[:, term]).sum(axis=1), 1e-9)
    size = told_after[:, term] - (share[:, 0] * (told.sum(axis=0) - told)).sum(axis=1)
    alone = np.flatnonzero(size / np.sqrt(left) * np.sign(change.size_arcmin) < LEAST_WITHOUT_ONE)
    return int(alone[0]) if alone.size else None


def _drawn(apart: SetupInformation, rng: np.random.Generator) -> SetupInformation:
    """What set-ups might tell where they differ by chance alone: `told` (DRAWS, k, p)."""
    values, axes = np.linalg.eigh(apart.information)
    root = axes * np.sqrt(np.maximum(values, 0.0))[:, None]
    draws = rng.standard_normal((root.shape[0], DRAWS, root.shape[1]))
    return SetupInformation(apart.information, (draws @ root.transpose(0, 2, 1)).transpose(1, 0, 2))


def _changes(apart: SetupInformation, prior_sd: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Size of a change at each possible place, of each term: (..., places, 3), and its sd (places, 3).

    Least squares of everything common to the set-ups and one term's change.
    """
    information, told = apart.information, apart.told
    places = slice(LEAST_SETUPS, information.shape[0] - LEAST_SETUPS + 1)
    after = np.cumsum(information[::-1], axis=0)[::-1][places]
    told_after = np.cumsum(told[..., ::-1, :], axis=-2)[..., ::-1, :][..., places, :TERMS]
    whole = np.linalg.inv(information.sum(axis=0) + np.diag(prior_sd**-2.0))
    terms = np.arange(TERMS)
    share = after[:, :TERMS] @ whole
    left = np.maximum(after[:, terms, terms] - (share * after[:, :TERMS]).sum(axis=-1), 1e-9)
    explained = (told.sum(axis=-2) @ share.reshape(-1, share.shape[-1]).T).reshape(told_after.shape)
    return (told_after - explained) / left, left**-0.5
