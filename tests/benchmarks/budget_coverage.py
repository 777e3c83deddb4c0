"""How often the intervals of the error budget hold the truth: python -m tests.benchmarks.budget_coverage [CLUBS]

For each story: the radius that holds half of the go-tos, the same without each cause, and what each cause adds. Radii
are promises for other nights of the same people, so their truth is that of many further nights of the same mount; what
causes added is told of the go-tos on record.
"""

import sys
from collections.abc import Iterator

from tests.pointing.budget.true_budgets import HALF, coverage_of
from tests.pointing.joint_fit.rough_clubs import STORIES

CLUBS = 200


def rows(clubs: int) -> Iterator[str]:
    for story in STORIES:
        held = coverage_of(story, range(clubs))
        yield f"| {story} | half now | | {_percent(held.half[HALF])} |"
        for cause, adds in held.adds.items():
            if 2 * len(adds) < clubs:  # found in a club or two, though nothing of the kind is at work
                continue
            yield f"| {story} | {cause} | {_percent(adds)} | {_percent(held.half[cause])} |"


def _percent(hits: list[bool]) -> str:
    return f"{100 * sum(hits) / len(hits):.0f} %"


def main(clubs: int) -> None:
    print("| story | cause | adds | half without |\n|---|---|---|---|")
    for row in rows(clubs):
        print(row, flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else CLUBS)
