"""How often the answers about trends hold, over invented histories: python -m tests.benchmarks.trend_numbers

The numbers of docs/trends.md come from here. Takes some minutes.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # matrices this small lose by being shared out

import numpy as np
from numpy.random import default_rng

from obslog.trends.series.theil_sen import Verdict
from tests.trends.series.trend_simulations import (
    effect_coverage,
    landing_coverage,
    misread_in,
    service_coverage,
    share_coverage,
    slope_coverage,
    verdict_shares,
)

HISTORIES = 4000
CLUBS = 500


def coverages() -> None:
    print(f"How many 95 % intervals hold the truth ({HISTORIES} histories; {CLUBS} clubs for effects):")
    for arrivals, measured in ((1, 1.0), (5, 1.0), (5, 0.4), (12, 0.0)):
        covered = landing_coverage(default_rng(1), arrivals, measured, HISTORIES)
        print(f"  landing error, {arrivals:2d} arrivals, {measured:4.0%} of them measured: {covered:.3f}")
    print(f"  slope: {slope_coverage(default_rng(2), HISTORIES):.3f}")
    print(f"  change at a service: {service_coverage(default_rng(3), HISTORIES):.3f}")
    for factor, covered in effect_coverage(default_rng(4), CLUBS).items():
        print(f"  effects of a club of 6 mounts, 10 observers, 3 sites, 80 set-ups, {factor}: {covered:.3f}")
    for factor, covered in share_coverage(default_rng(9), CLUBS).items():
        print(f"  share of a club of 8 mounts, 15 observers, 3 sites, 160 set-ups, {factor}: {covered:.3f}")


def words() -> None:
    print("Landing error by the truth where all is told in words, 12 a night, in a field of 40':")
    for half in (4.0, 6.0, 8.0, 12.0, 20.0):
        understood, misread = misread_in(default_rng(8), half, 12, HISTORIES)
        print(
            f'  half-landing radius {half:2.0f}\': {understood:.2f}; where an "in" is misread: {misread:.2f}'
        )


def verdicts() -> None:
    print(f"Verdicts, one night a month for two years ({HISTORIES} histories each):")
    for scatter in (0.1, 0.2, 0.3):
        for arrivals in (5, 8, 10, 15):
            found = verdict_shares(default_rng(5), np.sqrt(2), HISTORIES, arrivals, scatter)
            steady = verdict_shares(default_rng(6), 1.0, HISTORIES, arrivals, scatter)
            print(
                f"  {arrivals:2d} arrivals, nights differing by {scatter:.0%}: a doubling is found in "
                f"{found[Verdict.WORSENING]:.3f}; a steady mount is called worsening in {steady[Verdict.WORSENING]:.3f}"
            )


if __name__ == "__main__":
    words()
    verdicts()
    coverages()
