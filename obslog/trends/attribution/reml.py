"""Variances of crossed random effects by restricted maximum likelihood, with how well they are known."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from obslog.trends.attribution.crossed import CrossedData, evaluate

Array = NDArray[np.float64]

SMALLEST_SD = 1e-4  # in units of the values' sd; what goes down to it is zero
POLISHING = 3
UNSEEN = 1e-6  # an eigenvalue of the scaled information under this tells nothing


@dataclass(frozen=True)
class Variances:
    """Variances (factors in order, rest last), their covariance, which the data determine, and the criterion."""

    values: Array
    covariance: Array
    determined: NDArray[np.bool_]
    criterion: float


def fit_variances(data: CrossedData) -> Variances:
    """Variances by restricted maximum likelihood; each at least zero.

    The covariance is the inverse of the expected information. A variance that the data cannot tell from another
    (or from nothing) is not determined and its sd is nan.

    Source: H. D. Patterson, R. Thompson, Biometrika 58 (1971) 545; R. I. Jennrich, P. F. Sampson, Technometrics 18
    (1976) 11, for the information.
    """
    from scipy.optimize import minimize

    scaled, unit = _scaled(data)
    factors = len(data.sizes)

    def criterion(sd: Array) -> tuple[float, Array]:
        found = evaluate(scaled, sd**2)
        return found.criterion, 2 * sd * found.gradient

    start = np.full(factors + 1, np.sqrt(1 / (factors + 1)))
    best = minimize(
        criterion, start, jac=True, method="L-BFGS-B", bounds=[(SMALLEST_SD, None)] * (factors + 1),
        options={"ftol": 1e-13, "gtol": 1e-7 * data.values.size, "maxiter": 200},
    )  # fmt: skip
    at = np.asarray(best.x, float) ** 2
    covariance, seen = _covariance(expected_information(scaled, at))
    nothing = best.x < 10 * SMALLEST_SD
    at = _polished(scaled, at, covariance, seen & ~nothing)
    values = np.where(nothing, 0.0, at) * unit**2
    return Variances(values, covariance * unit**4, seen & ~nothing, evaluate(data, at * unit**2).criterion)


def expected_information(data: CrossedData, variances: Array) -> Array:
    """The expected information about the variances: minus half the change of each trace by each variance."""
    information = np.empty((variances.size, variances.size))
    for k, variance in enumerate(variances):
        step = 1e-3 * max(variance, 0.01 * variances.sum())
        below = max(variance - step, min(variance, SMALLEST_SD**2))
        high, low = variances.copy(), variances.copy()
        high[k], low[k] = variance + step, below
        change: Array = evaluate(data, high).traces - evaluate(data, low).traces
        information[k] = -0.5 * change / (variance + step - below)
    return (information + information.T) / 2


def _polished(data: CrossedData, variances: Array, covariance: Array, free: NDArray[np.bool_]) -> Array:
    """A few steps of scoring on the free variances: the last digits, which the search leaves open."""
    at = variances.copy()
    for _ in range(POLISHING):
        step = -0.5 * covariance[np.ix_(free, free)] @ evaluate(data, at).gradient[free]
        if np.any(np.abs(step) > 0.01 * at[free]):
            break
        at[free] += step
    return at


def _scaled(data: CrossedData) -> tuple[CrossedData, float]:
    """The data in units of the values' own sd, so that the search is the same for any unit."""
    residual = data.values - data.fixed @ np.linalg.lstsq(data.fixed, data.values, rcond=None)[0]
    unit = float(np.sqrt(residual @ residual / max(1, residual.size - data.fixed.shape[1]))) or 1.0
    return replace(data, values=residual / unit, known_variance=data.known_variance / unit**2), unit


def _covariance(information: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Inverse of the information, nan where it tells nothing, and what it does tell, (k,)."""
    diagonal = np.diag(information)
    scale = np.sqrt(np.where(diagonal > 0, diagonal, 1.0))  # rounding may leave a little under nothing
    size, direction = np.linalg.eigh(information / np.outer(scale, scale))
    told = size > UNSEEN
    seen = ~np.any(np.abs(direction[:, ~told]) > 0.1, axis=1)
    inverse = (direction[:, told] / size[told]) @ direction[:, told].T / np.outer(scale, scale)
    return np.where(np.logical_and.outer(seen, seen), inverse, np.nan), seen
