"""V magnitudes of stars: from Hipparcos's own band, and of close pairs together."""

from collections.abc import Sequence
from typing import Any

import numpy as np

Array = np.ndarray[Any, Any]

# Hp - V as a polynomial in B - V, highest power first: fitted to the 303 stars of the IAU's list that lie within 0.1
# of it; the rest of them are doubles and variables. Scatter 0.02 mag from B - V = -0.3 to 1.9.
HP_MINUS_V = (0.01722, -0.05539, -0.10228, 0.30245, -0.00458)
_BLUEST, _REDDEST = -0.3, 1.9

SURELY_BRIGHTER_MAG = 0.15
FAINTEST_TRUSTED_V = 6.0
VARIABLES = frozenset((10826,))  # Mira was near its brightest while Hipparcos looked

# Crowded groups, in which Hipparcos gave each star the light of its neighbours too: the Trapezium and HR 8281.
HOLDS_ITS_COMPANIONS = frozenset((26221, 106886))


def v_of_hipparcos(hp: Array, bv: Array) -> Array:
    """V from Hp and B - V; beyond the colours that the fit covers the nearest one counts."""
    return np.asarray(hp - np.polyval(HP_MINUS_V, np.clip(bv, _BLUEST, _REDDEST)))


def v_with_companion(listed_v: float, v_from_hp: float, *, double: bool, hip: int) -> tuple[float, str]:
    """V of a star as it is seen, and where it is from: the list gives the brighter of a close pair alone."""
    brighter = listed_v - v_from_hp > SURELY_BRIGHTER_MAG and v_from_hp < FAINTEST_TRUSTED_V
    if double and brighter and hip not in VARIABLES:
        return v_from_hp, "together"
    return listed_v, "IAU"


def together(magnitudes: Sequence[float]) -> float:
    """The magnitude of the light of several stars."""
    return float(-2.5 * np.log10(np.sum(10 ** (-0.4 * np.asarray(magnitudes, float)))))
