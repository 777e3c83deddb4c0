"""Linear least squares for the few small fits that a trend needs."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LinearFit:
    """Coefficients (k,), their covariance (k, k), the sum of squared (weighted) residuals and degrees of freedom."""

    coefficients: Array
    covariance: Array
    residual_squares: float
    freedom: int

    @property
    def sd(self) -> Array:
        return np.asarray(np.sqrt(np.diag(self.covariance)))


def linear_fit(design: ArrayLike, values: ArrayLike, sd: ArrayLike | None = None) -> LinearFit | None:
    """Fit values (n,) by the columns of a design (n, k).

    With `sd` (n,) the values' own standard deviations are believed and the covariance follows from them; without, one
    scatter is estimated from the residuals. None where the columns depend on each other or nothing is left over.

    Source: G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed. 2013, section 5.3 (by QR, columns scaled).
    """
    a, y = np.asarray(design, float), np.asarray(values, float)
    rows, terms = a.shape
    if sd is not None:
        a, y = a / np.asarray(sd, float)[:, None], y / np.asarray(sd, float)
    if rows <= terms:
        return None
    scale = np.linalg.norm(a, axis=0)
    if not np.all(scale > 0):
        return None
    q, r = np.linalg.qr(a / scale)
    if np.min(np.abs(np.diag(r))) < 1e-10:
        return None
    inverse = np.linalg.solve(r, np.eye(terms))
    coefficients = inverse @ (q.T @ y)
    residual = y - a / scale @ coefficients
    squares, freedom = float(residual @ residual), rows - terms
    factor = 1.0 if sd is not None else squares / freedom
    covariance = factor * (inverse @ inverse.T) / np.outer(scale, scale)
    return LinearFit(coefficients / scale, covariance, squares, freedom)
