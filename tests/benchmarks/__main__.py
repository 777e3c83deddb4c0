"""Runs every benchmark and prints its ratios: python -m tests.benchmarks [NAME...].

Each is a ratio of two things timed in turn in one run, so that it means something on a busy machine too.
"""

import sys
from collections.abc import Callable

from tests.benchmarks import (
    attribution,
    finding,
    importing,
    joint_fit,
    pointing_recovery,
    sky_accuracy,
    sky_grid,
    star_choice,
    startup,
    typing_up,
)

BENCHMARKS: dict[str, Callable[[], None]] = {
    "startup": startup.main,
    "importing": importing.main,
    "finding": finding.main,
    "typing_up": typing_up.main,
    "sky_grid": sky_grid.main,
    "sky_accuracy": sky_accuracy.main,
    "joint_fit": joint_fit.main,
    "star_choice": star_choice.main,
    "pointing_recovery": pointing_recovery.main,
    "attribution": attribution.main,
}


def main() -> None:
    wanted = sys.argv[1:] or list(BENCHMARKS)
    if unknown := [name for name in wanted if name not in BENCHMARKS]:
        sys.exit(f"There is no benchmark named {', '.join(unknown)}. There are: {', '.join(BENCHMARKS)}")
    for name in wanted:
        print(f"== {name}")
        BENCHMARKS[name]()


main()
