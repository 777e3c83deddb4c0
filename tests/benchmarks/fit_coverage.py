"""How often the intervals of `pointing fit` hold the truth: python -m tests.benchmarks.fit_coverage [CLUBS]"""

import sys

import numpy as np

from tests.pointing.joint_fit.rough_clubs import STORIES
from tests.pointing.misfit.counted_coverage import scores_of, share_held

CLUBS = 200
SIZES = (10, 5), (30, 5), (4, 8)
"""Set-ups of a club, and checks in each."""


def main(clubs: int) -> None:
    print("| story | set-ups × checks | term | z rms | held |\n|---|---|---|---|---|")
    for story in STORIES:
        for setups, checks in SIZES:
            for name, scores in scores_of(story, range(clubs), setups, checks).items():
                rms = float(np.sqrt(np.mean(np.square(scores))))
                held = f"{100 * share_held(scores):.0f} %"
                print(f"| {story} | {setups} × {checks} | {name} | {rms:.2f} | {held} |", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else CLUBS)
