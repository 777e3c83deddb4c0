"""Several laptops, whatever people do on them, and bundles in any order and repetition: all come to say the same."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.records.bundles.many_histories import MODULE, OF_A_SEED
from tests.records.bundles.several_laptops import SeveralLaptops, machine_in, run

FEW, MANY = 6, int(os.environ.get("OBSLOG_HISTORIES", "60"))
RUNS, SEEDS_OF_A_RUN = 8, 5
"""Where CI is set: 2,000 histories, the same wherever they are run."""


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> type[SeveralLaptops]:
    return machine_in(tmp_path, monkeypatch)


def test_all_laptops_come_to_say_the_same(machine: type[SeveralLaptops]) -> None:
    run(machine, FEW)


@pytest.mark.skipif("CI" not in os.environ, reason="takes minutes: only where CI is set")
@pytest.mark.parametrize("number", range(RUNS))
def test_all_laptops_come_to_say_the_same_over_hundreds_of_histories(number: int) -> None:
    """In a process of their own, where coverage costs nothing; they are those that the command runs."""
    first = number * SEEDS_OF_A_RUN
    seeds = (str(first), str(first + SEEDS_OF_A_RUN - 1))
    ran = subprocess.run([sys.executable, "-m", MODULE, *seeds], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    told = re.search(rf"In all {SEEDS_OF_A_RUN} seeds, (\d+) histories", ran.stdout)
    assert told is not None
    assert int(told[1]) >= SEEDS_OF_A_RUN * OF_A_SEED


@pytest.mark.slow
def test_all_laptops_come_to_say_the_same_over_many_histories(machine: type[SeveralLaptops]) -> None:
    run(machine, MANY)
