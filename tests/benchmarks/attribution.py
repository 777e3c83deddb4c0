"""How long the attribution takes: python -m tests.benchmarks attribution

Clubs of up to 20,000 set-ups of 200 mounts, 300 observers and 20 sites, and how the time grows; then the crossed
model of statsmodels beside it, on clubs of doubling size until one takes half a minute.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # matrices this small lose by being shared out

import time
import warnings
from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.random import default_rng

from obslog.trends.attribution.attribution import attribute
from obslog.trends.attribution.crossed import CrossedData
from obslog.trends.attribution.reml import fit_variances

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
    return CrossedData(values, np.full(setups, counting_sd**2), np.ones((setups, 1)), codes, sizes)


def seconds(work: Callable[[], object], best_of: int = 3) -> float:
    times = []
    for _ in range(best_of):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def whole_attribution(data: CrossedData) -> Callable[[], object]:
    names = {
        factor: [f"{factor}{place}" for place in code]
        for factor, code in zip(LEVELS, data.codes, strict=True)
    }
    return lambda: attribute(data.values, np.sqrt(data.known_variance), names)


def growth() -> None:
    print("set-ups   mounts observers sites   seconds   growth / that of the set-ups")
    for title, share in (("the same levels", lambda _: 1.0), ("levels in proportion", lambda n: n / 20_000)):
        print(f"{title}:")
        before: float | None = None
        for setups in (2_500, 5_000, 10_000, 20_000, 40_000):
            data = invented(setups, share(setups))
            taken = seconds(whole_attribution(data))
            ratio = "" if before is None else f"{taken / before / 2:.2f}"
            print(
                f"{setups:7d} {data.sizes[0]:8d} {data.sizes[1]:9d} {data.sizes[2]:5d} {taken:9.2f}   {ratio}"
            )
            before = taken


def against_statsmodels() -> None:
    import pandas
    from statsmodels.regression.mixed_linear_model import MixedLM

    warnings.simplefilter("ignore")
    setups, taken = 100, 0.0
    while taken < 30:  # each doubling takes more than twice as long: the next would not end in a minute
        setups *= 2
        data = invented(setups, setups / 20_000, counting_sd=0.0)
        table = pandas.DataFrame({"y": data.values, **dict(zip(LEVELS, data.codes, strict=True))})
        parts = {factor: f"0 + C({factor})" for factor in LEVELS}
        model = MixedLM.from_formula("y ~ 1", table, groups=np.ones(setups), vc_formula=parts)
        start = time.perf_counter()
        theirs = model.fit(reml=True)
        taken = time.perf_counter() - start
        ours = fit_variances(data)
        our_time = seconds(partial(fit_variances, data))
        print(
            f"{setups} set-ups: statsmodels {taken:.2f} s, obslog {our_time:.3f} s, {taken / our_time:.0f} times"
        )
        print(f"    variances {np.array([*theirs.vcomp, theirs.scale])} and {ours.values}")


def main() -> None:
    growth()
    against_statsmodels()
