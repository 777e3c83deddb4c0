"""How a club's past moves the naming of mistakes: python -m tests.benchmarks.mistake_naming [CLUBS]

Of clubs with the habits that are judged of all, and with their own: first stars named rightly, wrongly or not,
by common practice alone and by two years of the club's own nights as well; then set-ups without a mistake named one.
"""

import sys

import numpy as np

from tests.club.aligning.mistaken_clubs import Naming, false_names, naming_of

CLUBS, MISSES, SETUPS = 80, 12, 200


def main(clubs: int) -> None:
    print("| habits | weighed by | named rightly | named wrongly | not named | mean chance of the truth |")
    print("|---|---|---|---|---|---|")
    for own, words in ((False, "as judged of all clubs"), (True, "of its own")):
        plain, moved = naming_of(range(clubs), own=own, count=MISSES)
        for by, one in (("common practice", plain), ("its past as well", moved)):
            print(f"| {words} | {by} | {row(one)} |", flush=True)
    false = np.sum([false_names(seed, SETUPS) for seed in range(clubs)], axis=0) / (clubs * SETUPS)
    print(
        f"set-ups without a mistake named one: {100 * false[0]:.2f} %, with the past {100 * false[1]:.2f} %"
    )


def row(one: Naming) -> str:
    parts = [f"{100 * count / one.all:.1f} %" for count in (one.right, one.wrong, one.silent)]
    return " | ".join([*parts, f"{100 * float(np.mean(one.chances)):.1f} %"])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else CLUBS)
