"""Invented histories with a known truth, and how often the answers about them hold; for tests and for docs."""

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import rayleigh

from obslog.trends.landing_words import word_distances_arcmin
from obslog.trends.landings import landing_errors

FIELD_ARCMIN = 40.0


def words_of(distance: NDArray[np.float64], field_arcmin: float) -> list[str]:
    """What an observer who says "centred" when it was would say of each distance (n,)."""
    bounds = [field_arcmin / 8, field_arcmin / 2, 150.0]
    return [("centred", "in", "finder", "lost")[k] for k in np.searchsorted(bounds, distance)]


def landing_coverage(rng: Generator, arrivals: int, share_measured: float, setups: int) -> float:
    """How many of the 95 % intervals of landing error hold the truth; the words of half the set-ups lack "centred"."""
    true_half = np.exp(rng.normal(np.log(9), 0.5, setups))
    setup = np.repeat(np.arange(setups), arrivals)
    distance = rng.rayleigh(true_half[setup] / rayleigh.median())
    says = setup % 2 == 0
    words = [
        word if word != "centred" or mine else "in"
        for word, mine in zip(words_of(distance, FIELD_ARCMIN), says, strict=True)
    ]
    low, high = word_distances_arcmin(words, FIELD_ARCMIN, centred_is_said=says)
    measured = rng.random(distance.size) < share_measured
    errors = landing_errors(
        setup, np.where(measured, distance, low), np.where(measured, distance, high), setups
    )
    above = np.nan_to_num(errors.low_arcmin, nan=0.0) <= true_half
    below = true_half <= np.nan_to_num(errors.high_arcmin, nan=np.inf)
    return float(np.mean(above & below))
