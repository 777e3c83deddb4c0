"""Several laptops, whatever people do on them, and bundles in any order and repetition: all come to say the same."""

import os
from pathlib import Path

import pytest
from hypothesis import seed

from tests.records.bundles.several_laptops import SeveralLaptops, machine_in, run

FEW, MANY = 6, int(os.environ.get("OBSLOG_HISTORIES", "60"))
SEEDS, OF_A_SEED = 8, 250
"""Where CI is set: 2,000 histories, the same wherever they are run."""


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> type[SeveralLaptops]:
    return machine_in(tmp_path, monkeypatch)


def test_all_laptops_come_to_say_the_same(machine: type[SeveralLaptops]) -> None:
    run(machine, FEW)


@pytest.mark.skipif("CI" not in os.environ, reason="takes minutes: only where CI is set")
@pytest.mark.no_cover  # it would take half as long again, and what it runs others cover
@pytest.mark.parametrize("number", range(SEEDS))
def test_all_laptops_come_to_say_the_same_over_hundreds_of_histories(
    machine: type[SeveralLaptops], number: int
) -> None:
    run(seed(number)(machine), OF_A_SEED)


@pytest.mark.slow
def test_all_laptops_come_to_say_the_same_over_many_histories(machine: type[SeveralLaptops]) -> None:
    run(machine, MANY)
