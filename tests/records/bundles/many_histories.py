"""Many random histories of several laptops: `python -m tests.records.bundles.many_histories FIRST LAST`.

Each seed from FIRST to LAST is so many histories, the same on every machine by the same program. One that fails is
told with what it found, and how to run it once more; with `--shrink` its history is made as short as it can be.
"""

import argparse
import sys
import tempfile
import traceback
from collections import Counter
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import seed

from tests.compiled_once import statements_compiled_once
from tests.records.bundles.several_laptops import machine_in, run

OF_A_SEED = 50
MODULE = "tests.records.bundles.many_histories"


def main(argv: list[str]) -> int:
    asked = _read(argv)
    counts: Counter[str] = Counter()
    failed: list[int] = []
    for number in range(asked.first, asked.last + 1):
        if asked.until is not None and datetime.now(asked.until.tzinfo) >= asked.until:
            _say(f"Stopped before seed {number}: it is {asked.until:%H:%M}.")
            break
        counts["seeds"] += 1
        error = history_of(number, counts, shrinking=asked.shrink)
        if error is not None:
            failed.append(number)
            _say(
                f"Seed {number} fails. Run it once more: python -m {MODULE} {number} {number} --shrink\n{error}"
            )
        _say(f"after seed {number}: {_listed(counts)}; {len(failed)} failed")
    _say(f"In all {_listed(counts)}. Seeds that failed: {', '.join(map(str, failed)) or 'none'}.")
    return 1 if failed else 0


def history_of(number: int, counts: Counter[str], *, shrinking: bool) -> str | None:
    """Run the histories of a seed and add up what was done in them; gives the error of the first that fails."""
    with (
        tempfile.TemporaryDirectory() as folder,
        pytest.MonkeyPatch.context() as patch,
        statements_compiled_once(),
    ):
        machine = machine_in(Path(folder), patch)
        try:
            run(seed(number)(machine), OF_A_SEED, shrinking=shrinking)
        except Exception:
            return traceback.format_exc()
        finally:
            counts.update(machine.counts)
    return None


def _listed(counts: Counter[str]) -> str:
    return ", ".join(f"{count:,} {what}" for what, count in counts.items())


def _say(sentence: str) -> None:
    sys.stdout.write(f"{sentence}\n")
    sys.stdout.flush()


def _read(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog=f"python -m {MODULE}", description=f"{OF_A_SEED} histories for each seed."
    )
    parser.add_argument("first", type=int, help="The first seed.")
    parser.add_argument("last", type=int, help="The last one.")
    parser.add_argument(
        "--shrink", action="store_true", help="Make a history that fails as short as it can be."
    )
    parser.add_argument(
        "--until", type=datetime.fromisoformat, help="Begin no seed after this time, as 2026-03-02T22:00Z."
    )
    return parser.parse_args(argv)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
