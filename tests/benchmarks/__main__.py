"""Runs the benchmarks and prints their ratios: python -m tests.benchmarks [--strict] [--table] [NAME...].

Each is a ratio of two things timed in turn in one run, so that it means something on a busy machine too. A goal that is
missed is printed as missed; with --strict the exit code is then 1. --table prints all lines again as a table.
"""

import sys
from collections.abc import Callable

from tests.benchmarks import (
    attribution,
    bundles,
    finding,
    history,
    importing,
    joint_fit,
    kept_results,
    live_answers,
    many_clubs,
    merging,
    moving,
    moving_a_million,
    observation_sheet,
    open_log,
    pages,
    pointing_answers,
    pointing_recovery,
    prompt,
    sky_accuracy,
    sky_grid,
    star_choice,
    startup,
    stocktake,
    typing_up,
    whole_club,
)
from tests.benchmarks.measuring import Report

BENCHMARKS: dict[str, Callable[[Report], None]] = {
    "startup": startup.main,
    "importing": importing.main,
    "history": history.main,
    "observation_sheet": observation_sheet.main,
    "bundles": bundles.main,
    "merging": merging.main,
    "whole_club": whole_club.main,
    "finding": finding.main,
    "typing_up": typing_up.main,
    "prompt": prompt.main,
    "stocktake": stocktake.main,
    "sky_grid": sky_grid.main,
    "joint_fit": joint_fit.main,
    "pointing_answers": pointing_answers.main,
    "kept_results": kept_results.main,
    "live_answers": live_answers.main,
    "open_log": open_log.main,
    "pages": pages.main,
    "moving": moving.main,
    "star_choice": star_choice.main,
    "attribution": attribution.main,
}
LONG: dict[str, Callable[[Report], None]] = {
    "moving_a_million": moving_a_million.main,
    "many_clubs": many_clubs.main,
}
"""Those that run only where they are named."""
ACCURACIES: dict[str, Callable[[], None]] = {
    "sky_accuracy": sky_accuracy.main,
    "pointing_recovery": pointing_recovery.main,
}


def main(arguments: list[str]) -> int:
    options, names = (
        {a for a in arguments if a.startswith("--")},
        [a for a in arguments if not a.startswith("--")],
    )
    known = [*BENCHMARKS, *ACCURACIES]
    every = BENCHMARKS | LONG
    if unknown := [name for name in names if name not in [*known, *LONG]]:
        print(
            f"There is no benchmark named {', '.join(unknown)}. There are: {', '.join([*known, *LONG])}",
            file=sys.stderr,
        )
        return 2
    if unknown := sorted(options - {"--strict", "--table"}):
        print(f"There is no option {', '.join(unknown)}. There are: --strict, --table", file=sys.stderr)
        return 2
    report = Report()
    for name in names or known:
        print(f"== {name}")
        if name in every:
            every[name](report)
        else:
            ACCURACIES[name]()
    if "--table" in options:
        print("\n".join(report.table()))
    missed = report.missed()
    print(f"{len(report.lines)} lines, of which {missed} missed their goal")
    return 1 if missed and "--strict" in options else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
