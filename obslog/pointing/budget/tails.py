"""Are arrivals far out wrong ones, or does this mount scatter now and then much farther than a normal one would?

The fit tells good arrivals from wrong ones and has no third word. A gust or a gear that binds at times throws good ones
far out too, and then calling them wrong would blame people for what the mount does. Arrivals alone may not decide it,
so both stories are weighed, and a budget is drawn from both.
"""

import numpy as np

from obslog.pointing.joint_fit.scatter import WRONG_SD_ARCMIN
from obslog.pointing.model.frames import FloatArray

FREEDOMS = np.array([2.0, 3.0, 4.0, 6.0, 10.0])
"""Student's t: with two degrees of freedom one in 26 lies five times its usual way out, with ten four of 10,000."""
SCALES = np.geomspace(0.45, 1.5, 12)
SHARES = np.geomspace(0.003, 0.4, 10)


def chance_of_tails(residuals: FloatArray, sd_arcmin: FloatArray) -> float:
    """How probably residuals (2, m) are of one heavy-tailed scatter, rather than of good arrivals and wrong ones.

    Each story has a scale and a second number (degrees of freedom, a share of wrong ones), each is taken at its best,
    and both are held for as likely before. Source: K. L. Lange, R. J. A. Little, J. M. G. Taylor, J. Am. Stat. Assoc.
    84 (1989), 881 (Student's t for data with outliers).
    """
    square = (residuals[0] / sd_arcmin) ** 2 + (residuals[1] / sd_arcmin) ** 2
    wrong_square = (WRONG_SD_ARCMIN / sd_arcmin) ** 2
    wrong = np.exp(-0.5 * square / wrong_square) / wrong_square
    tails = max(_of_tails(square, scale, freedom) for scale in SCALES for freedom in FREEDOMS)
    two_kinds = max(_of_two_kinds(square, scale, wrong) for scale in SCALES)
    return float(1.0 / (1.0 + np.exp(np.clip(two_kinds - tails, -700.0, 700.0))))


def _of_tails(square: FloatArray, scale: float, freedom: float) -> float:
    """Log likelihood of a bivariate Student's t, but for what both stories share."""
    own = np.log1p(square / (freedom * scale**2)).sum()
    return float(-2.0 * square.size * np.log(scale) - 0.5 * (freedom + 2.0) * own)


def _of_two_kinds(square: FloatArray, scale: float, wrong: FloatArray) -> float:
    """The same of a normal scatter and a share of wrong ones, the best of some shares."""
    good = np.exp(-0.5 * square / scale**2) / scale**2
    return max(float(np.log((1.0 - share) * good + share * wrong).sum()) for share in SHARES)
