"""How long the attribution takes: python -m tests.benchmarks attribution

Clubs of 10,000 and 20,000 set-ups, and how the time grows; then the crossed model of statsmodels on the same data.
"""

import warnings
from collections.abc import Callable

import numpy as np
from numpy.random import default_rng

from obslog.trends.attribution.attribution import attribute
from obslog.trends.attribution.crossed import CrossedData
from obslog.trends.attribution.reml import fit_variances
from tests.benchmarks.measuring import Report, in_turn

LEVELS = {"mount": 200, "observer": 300, "site": 20}
SDS = {"mount": 0.35, "observer": 0.25, "site": 0.15}
REST_SD, COUNTING_SD = 0.3, 0.2


def invented(setups: int, share_of_levels: float = 1.0, counting_sd: float = COUNTING_SD) -> CrossedData:
    """A club with set-ups met at random."""
    rng = default_rng(setups)
    sizes = [max(2, round(share_of_levels * size)) for size in LEVELS.values()]
    codes = [rng.integers(0, size, setups) for size in sizes]
    values = 2.0 + np.hypot(REST_SD, counting_sd) * rng.normal(size=setups)
    for sd, size, code in zip(SDS.values(), sizes, codes, strict=True):
        values = values + (sd * rng.normal(size=size))[code]
    return CrossedData(
        values=values,
        known_variance=np.full(setups, counting_sd**2),
        fixed=np.ones((setups, 1)),
        codes=codes,
        sizes=sizes,
    )


def whole_attribution(data: CrossedData) -> Callable[[], object]:
    names = {
        factor: [f"{factor}{place}" for place in code]
        for factor, code in zip(LEVELS, data.codes, strict=True)
    }
    return lambda: attribute(data.values, np.sqrt(data.known_variance), names)


def growth(report: Report) -> None:
    half, whole = invented(10_000), invented(20_000)
    small, large = in_turn([whole_attribution(half), whole_attribution(whole)], 3)
    sizes = "200 mounts, 300 observers, 20 sites"
    report.add(
        "attribution of 20,000 set-ups", f"10,000 set-ups of the same {sizes}", large / small, at_most=2.6
    )
    half = invented(10_000, 0.5)
    small, large = in_turn([whole_attribution(half), whole_attribution(whole)], 3)
    report.add(
        "the same", "10,000 set-ups of half as many mounts, people and sites", large / small, at_most=2.6
    )
    report.add("the same, processor time", "", large, at_most=3, unit=" s")


def against_statsmodels(report: Report, setups: int = 3_200) -> None:
    import pandas
    from statsmodels.regression.mixed_linear_model import MixedLM

    warnings.simplefilter("ignore")
    data = invented(setups, setups / 20_000, counting_sd=0.0)
    table = pandas.DataFrame({"y": data.values, **dict(zip(LEVELS, data.codes, strict=True))})
    parts = {factor: f"0 + C({factor})" for factor in LEVELS}

    def theirs() -> object:
        return MixedLM.from_formula("y ~ 1", table, groups=np.ones(setups), vc_formula=parts).fit(reml=True)

    ours, other = in_turn([lambda: fit_variances(data), theirs], 2)
    report.add(
        f"statsmodels' crossed model, {setups:,} set-ups",
        "the same fit by obslog",
        other / ours,
        at_least=20,
        unit=" times",
    )


def main(report: Report) -> None:
    growth(report)
    against_statsmodels(report)
