"""Invented histories with a known truth, and how often the answers about them hold; for tests and for docs."""

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.special import polygamma
from scipy.stats import rayleigh

from obslog.trends.attribution.attribution import REST, attribute
from obslog.trends.landings.few_arrivals import unbiased_logs
from obslog.trends.landings.intervals_from_words import word_distances_arcmin
from obslog.trends.landings.landing_scale import landing_errors
from obslog.trends.series.service_changes import change_between
from obslog.trends.series.theil_sen import Verdict, theil_sen_slope, verdict_of

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


def misread_in(rng: Generator, half_arcmin: float, arrivals: int, setups: int) -> tuple[float, float]:
    """The typical estimate over the truth of observers who say "centred": with their "in" understood, and misread."""
    setup = np.repeat(np.arange(setups), arrivals)
    words = words_of(rng.rayleigh(half_arcmin / rayleigh.median(), setup.size), FIELD_ARCMIN)
    understood, misread = (
        landing_errors(setup, *word_distances_arcmin(words, FIELD_ARCMIN, centred_is_said=says), setups)
        for says in (True, False)
    )
    ratios = [float(np.median(errors.half_arcmin) / half_arcmin) for errors in (understood, misread)]
    return ratios[0], ratios[1]


def histories(
    rng: Generator, log_half: NDArray[np.float64], arrivals: int, night_scatter: float, count: int
) -> NDArray[np.float64]:
    """Estimated log landing errors (count, nights) of mounts whose true log half-landing radius is given, (nights,).

    Each night differs from the mount's own by a normal scatter; its arrivals are measured.
    """
    truth = np.tile(log_half, count) + rng.normal(scale=night_scatter, size=log_half.size * count)
    setup = np.repeat(np.arange(truth.size), arrivals)
    distance = rng.rayleigh(np.exp(truth[setup]) / rayleigh.median())
    errors = landing_errors(setup, distance, distance, truth.size)
    return np.log(errors.half_arcmin).reshape(count, log_half.size)


def verdict_shares(
    rng: Generator,
    growth_per_year: float,
    count: int,
    arrivals: int = 5,
    night_scatter: float = 0.2,
    nights: int = 24,
) -> dict[Verdict, float]:
    """How often each verdict is given on mounts set up once a month whose error grows by this factor a year."""
    years = np.arange(nights) / 12
    series = histories(rng, np.log(8) + np.log(growth_per_year) * years, arrivals, night_scatter, count)
    slopes = [theil_sen_slope(years, row) for row in series]
    verdicts = [verdict_of(slope, nights) for slope in slopes]
    return {verdict: verdicts.count(verdict) / count for verdict in Verdict}


def slope_coverage(rng: Generator, count: int, nights: int = 24) -> float:
    """How many of the 95 % intervals of the slope hold the truth, a growth by 1.3 a year."""
    years = np.arange(nights) / 12
    series = histories(rng, np.log(8) + np.log(1.3) * years, 5, 0.2, count)
    slopes = [theil_sen_slope(years, row) for row in series]
    return float(
        np.mean([slope.per_year.low <= np.log(1.3) <= slope.per_year.high for slope in slopes if slope])
    )


@dataclass(frozen=True)
class Club:
    """Set-ups of an invented club with their estimated log landing errors, and the effects that made them."""

    log_error: NDArray[np.float64]
    log_sd: NDArray[np.float64]
    names: dict[str, list[str | None]]
    truth: dict[str, NDArray[np.float64]]


def club(
    rng: Generator,
    setups: int,
    sizes: dict[str, int],
    sds: dict[str, float],
    rest_sd: float = 0.25,
    arrivals: int = 6,
    given: dict[str, dict[int, float]] | None = None,
) -> Club:
    """Random effects by factor, with some of them `given` (factor, level); levels meet at random."""
    truth = {factor: sds[factor] * rng.normal(size=size) for factor, size in sizes.items()}
    for factor, levels in (given or {}).items():
        for level, value in levels.items():
            truth[factor][level] = value
    codes = {factor: rng.integers(0, size, setups) for factor, size in sizes.items()}
    log_half = np.log(8) + sum(truth[factor][codes[factor]] for factor in sizes)
    log_half = log_half + rest_sd * rng.normal(size=setups)
    setup = np.repeat(np.arange(setups), arrivals)
    distance = rng.rayleigh(np.exp(log_half)[setup] / rayleigh.median())
    errors = landing_errors(setup, distance, distance, setups)
    names: dict[str, list[str | None]] = {
        factor: [f"{factor}{code:03d}" for code in codes[factor]] for factor in sizes
    }
    return Club(*unbiased_logs(errors), names, truth)


def effect_coverage(rng: Generator, clubs: int, mounts: int = 6) -> dict[str, float]:
    """How many 95 % intervals of effects hold the truth, by factor, over small clubs of 80 set-ups."""
    sizes = {"mount": mounts, "observer": 10, "site": 3}
    held: dict[str, list[bool]] = {factor: [] for factor in sizes}
    for _ in range(clubs):
        made = club(rng, 80, sizes, {"mount": 0.3, "observer": 0.2, "site": 0.1})
        found = attribute(made.log_error, made.log_sd, made.names)
        for factor, effects in found.effects.items():
            for effect in effects:
                true = made.truth[factor][int(effect.name.removeprefix(factor))]
                held[factor].append(effect.ratio.low <= np.exp(true) <= effect.ratio.high)
    return {factor: float(np.mean(all_held)) for factor, all_held in held.items()}


def service_coverage(rng: Generator, count: int) -> float:
    """How many 95 % intervals hold the truth, 0.6 times the error, from eight set-ups before and five after."""
    levels = np.log(8) + np.r_[np.zeros(8), np.full(5, np.log(0.6))]
    changes = [change_between(row[:8], row[8:]) for row in histories(rng, levels, 6, 0.2, count)]
    factors = [change.factor for change in changes if change is not None]
    return float(
        np.mean([f.low is not None and f.high is not None and f.low <= 0.6 <= f.high for f in factors])
    )


def share_coverage(rng: Generator, clubs: int) -> dict[str, float]:
    """How many shares are within 1.96 of their sd of the truth, over clubs of 160 set-ups of six arrivals."""
    sds = {"mount": 0.3, "observer": 0.2, "site": 0.1}
    # The logarithm of a scale from six arrivals scatters by more than 1/sqrt(4 6); the rest has that too.
    rest = 0.25**2 + polygamma(1, 6) / 4 - 1 / 24
    truth = {factor: sd**2 for factor, sd in sds.items()} | {REST: rest}
    total = sum(truth.values())
    held: dict[str, list[bool]] = {factor: [] for factor in truth}
    for _ in range(clubs):
        made = club(rng, 160, {"mount": 8, "observer": 15, "site": 3}, sds)
        for factor, part in attribute(made.log_error, made.log_sd, made.names).components.items():
            held[factor].append(abs(part.share.value - truth[factor] / total) < 1.96 * part.share.sd)
    return {factor: float(np.mean(all_held)) for factor, all_held in held.items()}
