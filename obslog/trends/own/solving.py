"""The club's model at given variances: its restricted likelihood and its answer.

log error = level and slope of the mount's era + observer + site + tube + season + temperature + what is left; what is
left has the set-up's own variance and a common one, which hangs together from one set-up of a mount to the next (rho).
Eras never meet in a set-up: their two-by-two blocks are eliminated first, and a dense matrix is left only for
observers, sites, tubes of mounts that had several, and the common terms.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from obslog.trends.own.club_setups import ClubSetups

Array = NDArray[np.float64]

SEASON_SD = 0.2  # of the cosine and the sine of the year, in logarithms, before anything is seen
TEMPERATURE_SD = 0.02  # for one degree
TUBE_SD = 3.0  # of a tube on its mount: nothing is assumed of how alike tubes are
LEVEL_PRECISION = 1e-6
SLOPE_PRECISION = 1e-4  # of a year; keeps eras of one set-up solvable


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """Standard deviations in logarithms: from set-up to set-up, among observers, sites, and tubes on one mount; and the
    correlation of one set-up with the mount's next."""

    rest: float
    observer: float
    site: float
    rho: float
    tube: float = TUBE_SD


@dataclass(frozen=True, kw_only=True)
class DesignMatrix:
    """The columns of what set-ups share, a sparse matrix (n, shared), and how many are observers, sites and tubes."""

    setups: ClubSetups
    observers: int
    sites: int
    tubes: int
    season: bool
    temperature: bool

    @classmethod
    def of(cls, setups: ClubSetups) -> "DesignMatrix":
        told = setups.adjusted_for
        return cls(
            setups=setups,
            observers=int(setups.observer.max(initial=-1)) + 1 if "observer" in told else 0,
            sites=int(setups.site.max(initial=-1)) + 1 if "site" in told else 0,
            tubes=int(setups.tube.max(initial=-1)) + 1,
            season="season" in told,
            temperature="temperature" in told,
        )

    @cached_property
    def dense(self) -> Array:
        return np.asarray(self.columns.toarray())

    @cached_property
    def columns(self) -> Any:
        from scipy.sparse import csr_array, hstack

        setups = self.setups
        parts = [
            _indicators(codes, size)
            for codes, size in (
                (setups.observer, self.observers),
                (setups.site, self.sites),
                (setups.tube, self.tubes),
            )
        ]
        dense = []
        if self.season:
            turn = 2 * np.pi * setups.years
            dense += [np.cos(turn), np.sin(turn)]
        if self.temperature:
            warmth = setups.temperature_c
            dense.append(np.nan_to_num(warmth - np.nanmean(warmth)))
        if dense:
            parts.append(csr_array(np.column_stack(dense)))
        return csr_array(hstack(parts))

    @property
    def shared(self) -> int:
        return self.observers + self.sites + self.tubes + 2 * self.season + self.temperature

    def prior_variance(self, spreads: Spreads) -> Array:
        """What each shared column may be beforehand, (shared,)."""
        sds = [
            *([spreads.observer] * self.observers),
            *([spreads.site] * self.sites),
            *([spreads.tube] * self.tubes),
            *([SEASON_SD] * (2 * self.season)),
            *([TEMPERATURE_SD] * self.temperature),
        ]
        return np.array(sds, float) ** 2


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The answer at given spreads and weights.

    `own` are level and slope of each era (eras, 2); `own_block` (eras, 2, 2) is their covariance as if all that mounts
    share were known, `shared_block` what not knowing that adds. `shared` are the shared effects. `residual` (n,) is
    what is left of each set-up, `sd` how far that may be, `squares` (eras,) the sum of its squares, each beside what
    it may be and freed of what hangs together.
    """

    criterion: float
    own: Array
    own_block: Array
    shared_block: Array
    shared: Array
    residual: Array
    sd: Array
    squares: Array


def solve(terms: DesignMatrix, spreads: Spreads, weights: Array) -> Solved:
    """Solve with each set-up's variance divided by its weight (n,): 1 for a plain one, near 0 for one gone astray.

    Source: S. R. Searle, G. Casella, C. E. McCulloch, Variance Components, 1992, ch. 7.6 (mixed model equations);
    the elimination is by Schur complement.
    """
    system = _System(terms, spreads, weights)
    setups = terms.setups
    own, shared = system.solution
    fitted = own[setups.era, 0] + own[setups.era, 1] * setups.since_middle + terms.columns @ shared
    residual = setups.log_error - fitted
    reach = system.block_inverse @ system.meeting  # (eras, 2, shared)
    return Solved(
        criterion=system.criterion,
        own=own,
        own_block=system.block_inverse,
        shared_block=reach @ system.shared_covariance @ reach.transpose(0, 2, 1),
        shared=shared,
        residual=residual,
        sd=system.scatter.sd,
        squares=setups.sums(residual * system.scatter.over(residual)),
    )


class ResidualCovariance:
    """The covariance of what is left: independent for each set-up, and beside that a part that hangs together.

    V = D + rest^2 R with R[i, j] = rho^|i - j| within an era. The inverse of R has three diagonals, so that
    V^-1 = D^-1 - D^-1 (R^-1 / rest^2 + D^-1)^-1 D^-1 costs no more than the set-ups.
    """

    def __init__(self, terms: DesignMatrix, spreads: Spreads, weights: Array) -> None:
        from scipy.linalg import cholesky_banded

        setups = terms.setups
        nobody = (setups.observer < 0) * spreads.observer**2 * bool(terms.observers)
        nowhere = (setups.site < 0) * spreads.site**2 * bool(terms.sites)
        variance = (spreads.rest**2 + setups.log_sd**2 + nobody + nowhere) / weights
        self.sd = np.sqrt(variance)
        own = variance - spreads.rest**2
        self._precision = 1 / own
        first = setups.begins
        last = np.r_[first[1:], True]
        kept = 1 - spreads.rho**2
        # The inverse of R: 1 / kept at both ends of an era, (1 + rho^2) / kept between, 1 where an era is one set-up.
        inner = np.where(first & last, 1.0, np.where(first | last, 1.0, 1 + spreads.rho**2) / kept)
        beside = np.where(last, 0.0, -spreads.rho / kept)
        bands = np.vstack([inner / spreads.rest**2 + self._precision, beside / spreads.rest**2])
        self._factor = cholesky_banded(bands, lower=True, check_finite=False)
        dependent = setups.count - setups.eras
        self.log_determinant = float(
            np.sum(np.log(own))
            + 2 * np.sum(np.log(self._factor[0]))
            + setups.count * np.log(spreads.rest**2)
            + dependent * np.log(kept)
        )

    def over(self, values: Array) -> Array:
        """V^-1 times values (n,) or (n, k)."""
        from scipy.linalg import cho_solve_banded

        precision = self._precision if values.ndim == 1 else self._precision[:, None]
        told = precision * values
        return np.asarray(told - precision * cho_solve_banded((self._factor, True), told, check_finite=False))


class _System:
    """The equations at given spreads: two-by-two blocks of the eras, and the dense rest."""

    def __init__(self, terms: DesignMatrix, spreads: Spreads, weights: Array) -> None:
        setups = terms.setups
        self.scatter = ResidualCovariance(terms, spreads, weights)
        level, since = np.ones(setups.count), setups.since_middle
        # Eras share no set-up, so that one solution serves the columns of all of them.
        over = self.scatter.over(np.column_stack([level, since, setups.log_error, terms.dense]))
        over_level, over_slope, over_values, over_shared = over[:, 0], over[:, 1], over[:, 2], over[:, 3:]
        block = np.empty((setups.eras, 2, 2))
        block[:, 0, 0] = setups.sums(over_level) + LEVEL_PRECISION
        block[:, 1, 1] = setups.sums(since * over_slope) + SLOPE_PRECISION
        block[:, 0, 1] = block[:, 1, 0] = setups.sums(since * over_level)
        self.block_inverse: Array = np.asarray(np.linalg.inv(block), dtype=float)
        self.meeting = np.stack(
            [(_of_eras(setups, over) @ terms.columns).toarray() for over in (over_level, over_slope)], axis=1
        )
        told = np.stack([setups.sums(over_values), setups.sums(since * over_values)], axis=1)
        self._solve(
            terms.prior_variance(spreads), terms.columns.T @ over_shared, terms.columns.T @ over_values, told
        )
        self.criterion = float(
            self.scatter.log_determinant
            + np.sum(np.log(np.linalg.det(block)))
            + setups.log_error @ over_values
            + self.shared_part
        )

    def _solve(self, prior: Array, dense: Array, wanted: Array, told: Array) -> None:
        alone = np.einsum("eij,ej->ei", self.block_inverse, told)
        reach = self.block_inverse @ self.meeting
        shared_count = prior.size
        flat, flat_reach = (part.reshape(2 * len(part), shared_count) for part in (self.meeting, reach))
        left = dense + np.diag(1 / prior) - flat.T @ flat_reach
        left_wanted = wanted - flat.T @ alone.ravel()
        self.shared_covariance = np.linalg.inv(left) if shared_count else np.zeros((0, 0))
        shared = self.shared_covariance @ left_wanted
        self.solution = alone - reach @ shared, shared
        self.shared_part = float(
            (np.linalg.slogdet(left)[1] if shared_count else 0.0)
            + np.sum(np.log(prior))
            - np.sum(told * alone)
            - left_wanted @ shared
        )


def _of_eras(setups: ClubSetups, values: Array) -> Any:
    """Values (n,) as a sparse matrix (eras, n), each in the row of its era."""
    from scipy.sparse import csr_array

    return csr_array((values, (setups.era, np.arange(setups.count))), shape=(setups.eras, setups.count))


def _indicators(codes: NDArray[np.intp], size: int) -> Any:
    from scipy.sparse import csr_array

    known = np.flatnonzero(codes >= 0) if size else np.zeros(0, np.intp)
    return csr_array((np.ones(known.size), (known, codes[known])), shape=(codes.size, size))
