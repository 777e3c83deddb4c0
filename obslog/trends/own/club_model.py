"""The club's model fitted: how much set-ups, observers and sites differ, what hangs together, what went astray."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from obslog.trends.own.club_setups import ClubSetups
from obslog.trends.own.solving import DesignMatrix, Solved, Spreads, solve

Array = NDArray[np.float64]

GROSS_SHARE = 0.05  # of set-ups that something else has spoilt, beforehand
GROSS_SD = 1.2  # of their log error: a factor of three either way
LEAST_WEIGHT = 1e-3
MOST_RHO = 0.8
ROUNDS, LOOKS, FIRST_LOOKS = 2, 3, 8
USUAL = np.log([0.2, 0.25, 0.1])
"""What clubs are like before anything is seen, and how sure (sd of the logarithm): rest, observers, sites."""
USUAL_SD = np.array([1.0, 0.7, 0.7])
USUAL_RHO, USUAL_RHO_SD = 0.15, 0.2


@dataclass(frozen=True, kw_only=True)
class ClubModel:
    """The set-ups, the spreads found, the chance that each set-up is a plain one, and the answer."""

    terms: DesignMatrix
    spreads: Spreads
    plain: Array
    solved: Solved

    @property
    def setups(self) -> ClubSetups:
        return self.terms.setups

    @property
    def adjusted(self) -> Array:
        """The log errors with what is shared taken out: observer, site, tube, season, temperature, (n,)."""
        return np.asarray(self.setups.log_error - self.terms.columns @ self.solved.shared, dtype=float)

    def at_site(self, shared: Array) -> Array:
        """What the site of each set-up does to its log error, (n,), by these shared effects; 0 where there is one."""
        of_sites = np.append(shared[self.terms.observers : self.terms.observers + self.terms.sites], 0.0)
        place = np.where(self.setups.site < self.terms.sites, self.setups.site, -1)
        return np.asarray(of_sites[place], dtype=float)

    def with_tube(self, shared: Array) -> Array:
        """What the tube of each set-up does to its log error, (n,), by these shared effects; 0 where it was alone."""
        first = self.terms.observers + self.terms.sites
        of_tubes = np.append(shared[first : first + self.terms.tubes], 0.0)
        return np.asarray(of_tubes[self.setups.tube], dtype=float)


def fit_club(setups: ClubSetups) -> ClubModel:
    """The model of one set-up at least.

    The spreads are where the restricted likelihood times what clubs are usually like is greatest: with few observers
    the data alone would often say that they do not differ at all. A set-up that is far out is weighed by the chance
    that it is a plain one.

    Source: Y. Chung et al., Psychometrika 78 (2013) 685, for keeping variances from zero by a weak prior.
    Neglects: that the spreads are estimates; that a mount's set-ups may be months apart or on one night.
    """
    terms = DesignMatrix.of(setups)
    plain = np.ones(setups.count)
    at = np.array([*USUAL, USUAL_RHO])
    for _ in range(FIRST_LOOKS):
        plain = _plain(setups, solve(terms, _spreads(at), plain), plain)
    for _ in range(ROUNDS):
        at = _likeliest(terms, plain, at)
        for _ in range(LOOKS):
            plain = _plain(setups, solve(terms, _spreads(at), plain), plain)
    spreads = _spreads(at)
    return ClubModel(terms=terms, spreads=spreads, plain=plain, solved=solve(terms, spreads, plain))


def _likeliest(terms: DesignMatrix, plain: Array, start: Array) -> Array:
    """The spreads, as three logarithms and rho, at which the penalised criterion is least."""
    from scipy.optimize import minimize

    near = 1e-2 / max(abs(solve(terms, _spreads(start), plain).criterion), 1.0)

    def cost(at: Array) -> float:
        fancied = np.sum(((at[:3] - USUAL) / USUAL_SD) ** 2) + ((at[3] - USUAL_RHO) / USUAL_RHO_SD) ** 2
        return solve(terms, _spreads(at), plain).criterion + float(fancied)

    bounds = [(-5.0, 1.5)] * 3 + [(0.0, MOST_RHO)]
    found = minimize(
        cost, start, method="L-BFGS-B", bounds=bounds, options={"ftol": near, "eps": 1e-4, "maxiter": 40}
    )
    return np.asarray(found.x, float)


def _spreads(at: Array) -> Spreads:
    rest, observer, site = (float(value) for value in np.exp(at[:3]))
    return Spreads(rest=rest, observer=observer, site=site, rho=float(at[3]))


def _plain(setups: ClubSetups, solved: Solved, weights: Array) -> Array:
    """The chance that each set-up is a plain one, from how far it is from its mount's line and how far it may be.

    One that draws the line to itself leaves a small residual, and is expected to.
    """
    own_sd = solved.sd * np.sqrt(weights)
    lever = np.column_stack([np.ones(setups.count), setups.since_middle])
    drawn = np.einsum("ni,nij,nj->n", lever, solved.own_block[setups.era], lever) / solved.sd**2
    # As if it had had no weight: the residual from the line of the others, and the sd of that.
    apart = np.clip(1 - drawn, 0.05, 1.0)
    away = solved.residual / apart
    line_variance = drawn / apart * solved.sd**2
    good = _log_density(away, own_sd**2 + line_variance) + np.log(1 - GROSS_SHARE)
    gross = _log_density(away, own_sd**2 + line_variance + GROSS_SD**2) + np.log(GROSS_SHARE)
    chance = 1 / (1 + np.exp(np.clip(gross - good, -50, 50)))
    return np.asarray(np.maximum(chance, LEAST_WEIGHT), dtype=float)


def _log_density(value: Array, variance: Array) -> Array:
    return np.asarray(-0.5 * value**2 / variance - 0.5 * np.log(variance))
