"""The restricted likelihood of crossed random effects, without a matrix as large as the number of set-ups.

y = X beta + sum over factors k of Z_k u_k + e;  u_k ~ N(0, variance_k),  e_i ~ N(0, rest + known_i). With W = [Z X],
D the inverse of the variances of e and L = diag(sd of each effect; 1 for X), everything follows from
B = L W'DW L + diag(1 for Z; 0 for X), whose size is the number of levels. Levels of one factor never meet in a set-up,
so the block of the largest factor is diagonal and is eliminated first; a dense matrix is left only for the smaller
factors.

A level that is not known (code -1) has no column: its variance is added to that set-up's own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Codes = NDArray[np.intp]


@dataclass(frozen=True, kw_only=True)
class CrossedData:
    """Values (n,), their known variances (n,), fixed columns (n, p), and for each factor codes (n,) and its size."""

    values: Array
    known_variance: Array
    fixed: Array
    codes: Sequence[Codes]
    sizes: Sequence[int]

    @cached_property
    def largest(self) -> int:
        return int(np.argmax(self.sizes))

    @cached_property
    def others(self) -> list[int]:
        return [k for k in range(len(self.sizes)) if k != self.largest]

    @cached_property
    def offsets(self) -> list[int]:
        """Where each of the other factors begins in the dense block, then the fixed columns, then the end."""
        sizes = [self.sizes[k] for k in self.others]
        return [int(at) for at in np.cumsum([0, *sizes, self.fixed.shape[1]])]

    @cached_property
    def unknown(self) -> list[NDArray[np.bool_]]:
        return [codes < 0 for codes in self.codes]

    @cached_property
    def padded(self) -> list[Codes]:
        """Codes with one more level at the end, of width nothing, for the unknown."""
        return [np.where(codes < 0, size, codes) for codes, size in zip(self.codes, self.sizes, strict=True)]

    @cached_property
    def dense_index(self) -> list[Codes]:
        """For each of the other factors the place of each set-up's level in the dense block; its end if unknown."""
        end = self.offsets[-1]
        return [
            np.where(self.unknown[k], end, at + self.codes[k])
            for k, at in zip(self.others, self.offsets, strict=False)
        ]

    def cross(self, k: int, m: int, weight: Array) -> Array:
        """Z_k' diag(weight) Z_m, dense (size k, size m)."""
        rows, columns = self.sizes[k] + 1, self.sizes[m] + 1
        both = np.bincount(
            self.padded[k] * columns + self.padded[m], weights=weight, minlength=rows * columns
        )
        return np.asarray(both.reshape(rows, columns)[:-1, :-1], dtype=float)

    def sums(self, k: int, weight: Array) -> Array:
        """Z_k' weight, (size k,)."""
        return np.asarray(
            np.bincount(self.padded[k], weights=weight, minlength=self.sizes[k] + 1)[:-1], dtype=float
        )


@dataclass(frozen=True, kw_only=True)
class Evaluation:
    """The criterion at given variances (factors in order, rest last), its parts by variance, and the effects.

    `criterion` is -2 log restricted likelihood. Its derivative by a variance is `traces` - `squares`. `effects` and
    `effect_variances` are lists, one array for each factor; the latter include that the fixed terms are estimated.
    """

    criterion: float
    traces: Array
    squares: Array
    effects: list[Array]
    effect_variances: list[Array]
    fixed: Array
    fixed_covariance: Array

    @property
    def gradient(self) -> Array:
        return self.traces - self.squares


def evaluate(data: CrossedData, variances: Array) -> Evaluation:
    """The restricted likelihood at variances (factors + 1,), all above zero.

    Source: S. R. Searle, G. Casella, C. E. McCulloch, Variance Components, 1992, ch. 6.6 and 7; D. Bates et al.,
    J. Stat. Softw. 67 (2015) 1, for the scaling by L that stays regular as a variance goes to zero.
    """
    solved = _Solved(data, variances)
    residual = data.values - solved.fitted
    projected = solved.weight * residual  # P y
    leverage = solved.weight - solved.weight**2 * solved.hat  # diagonal of P
    traces, squares = [], []
    for k, variance in enumerate(variances[:-1]):
        unknown = data.unknown[k]
        known_part = (data.sizes[k] - solved.inverse_diagonal[k].sum()) / variance
        traces.append(known_part + leverage[unknown].sum())
        squares.append(np.sum(data.sums(k, projected) ** 2) + np.sum(projected[unknown] ** 2))
    traces.append(leverage.sum())
    squares.append(projected @ projected)
    freedom = data.values.size - data.fixed.shape[1]
    criterion = (
        solved.log_determinant
        - np.sum(np.log(solved.weight))
        + data.values @ projected
        + freedom * np.log(2 * np.pi)
    )
    spread = [v * diagonal for v, diagonal in zip(variances, solved.inverse_diagonal, strict=False)]
    return Evaluation(
        criterion=float(criterion),
        traces=np.array(traces),
        squares=np.array(squares),
        effects=solved.effects,
        effect_variances=spread,
        fixed=solved.fixed,
        fixed_covariance=solved.fixed_covariance,
    )


class _Solved:
    """B factored and its equations solved at given variances; names as in the file's first lines."""

    def __init__(self, data: CrossedData, variances: Array) -> None:
        self.data = data
        self.sd = np.sqrt(variances[:-1])
        spread = data.known_variance + variances[-1]
        for unknown, variance in zip(data.unknown, variances, strict=False):
            spread = spread + variance * unknown
        self.weight = 1 / spread
        self._factor()
        self._solve()
        self._invert()

    def _scales(self) -> Array:
        """L of the dense block."""
        data = self.data
        parts = [np.full(data.sizes[k], self.sd[k]) for k in data.others]
        return np.concatenate([*parts, np.ones(data.fixed.shape[1])])

    def _with_dense(self, k: int) -> Array:
        """Z_k' D [Z of the other factors, X], (size k, dense)."""
        data = self.data
        blocks = [
            np.diag(data.sums(k, self.weight)) if m == k else data.cross(k, m, self.weight)
            for m in data.others
        ]
        fixed = [data.sums(k, self.weight * column)[:, None] for column in data.fixed.T]
        return np.hstack([*blocks, *fixed])

    def _factor(self) -> None:
        """The largest factor eliminated, and the inverse of what is left of the dense block."""
        data, first = self.data, self.data.largest
        self.scale = self._scales()
        self.first_diagonal = 1 + self.sd[first] ** 2 * data.sums(first, self.weight)
        coupling = self.sd[first] * self._with_dense(first) * self.scale
        self.coupling = coupling / self.first_diagonal[:, None]
        rows = [self._with_dense(k) for k in data.others]
        weighted = self.weight[:, None] * data.fixed
        fixed_rows = np.hstack([*(row[:, data.offsets[-2] :].T for row in rows), data.fixed.T @ weighted])
        dense = np.vstack([*rows, fixed_rows]) * np.outer(self.scale, self.scale)
        dense[np.diag_indices(data.offsets[-2])] += 1
        schur = dense - coupling.T @ self.coupling
        self.inverse = np.linalg.inv(schur)
        self.log_determinant = float(np.log(self.first_diagonal).sum() + np.linalg.slogdet(schur)[1])

    def _solve(self) -> None:
        """The fixed terms, the effects, and the values that they fit."""
        data, first = self.data, self.data.largest
        weighted = self.weight * data.values
        right = [data.sums(k, weighted) for k in data.others]
        right_dense = np.concatenate([*right, data.fixed.T @ weighted]) * self.scale
        right_first = self.sd[first] * data.sums(first, weighted)
        dense = self.inverse @ (right_dense - self.coupling.T @ right_first)
        in_first = right_first / self.first_diagonal - self.coupling @ dense
        scaled = dense * self.scale
        self.fixed = scaled[data.offsets[-2] :]
        self.effects = [np.empty(0)] * len(data.sizes)
        self.effects[first] = self.sd[first] * in_first
        for k, at in zip(data.others, data.offsets, strict=False):
            self.effects[k] = scaled[at : at + data.sizes[k]]
        self.fitted = data.fixed @ self.fixed
        for effects, codes in zip(self.effects, data.padded, strict=True):
            self.fitted = self.fitted + np.append(effects, 0.0)[codes]

    def _invert(self) -> None:
        """The parts of the inverse of B that are needed, and `hat`, the diagonal of W L inverse(B) L W'."""
        data, first = self.data, self.data.largest
        end, fixed_at = data.offsets[-1], data.offsets[-2]
        inverse = self.inverse
        across = -self.coupling @ inverse
        first_diagonal = 1 / self.first_diagonal - np.sum(across * self.coupling, axis=1)
        self.inverse_diagonal = [np.empty(0)] * len(data.sizes)
        self.inverse_diagonal[first] = first_diagonal
        for k, at in zip(data.others, data.offsets, strict=False):
            self.inverse_diagonal[k] = np.diag(inverse)[at : at + data.sizes[k]]
        self.fixed_covariance = inverse[fixed_at:, fixed_at:]
        dense = np.pad(inverse * np.outer(self.scale, self.scale), (0, 1))
        across = np.pad(self.sd[first] * across * self.scale, (0, 1))
        mine = data.padded[first]
        hat = np.append(self.sd[first] ** 2 * first_diagonal, 0.0)[mine]
        fixed_part = across[mine, fixed_at:end]
        for place in data.dense_index:
            hat = hat + 2 * across[mine, place]
            fixed_part = fixed_part + dense[place, fixed_at:end]
            for other in data.dense_index:
                hat = hat + dense[place, other]
        fixed_part = 2 * fixed_part + data.fixed @ self.fixed_covariance
        self.hat = hat + np.sum(fixed_part * data.fixed, axis=1)
