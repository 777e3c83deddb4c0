"""A small number of the bundles changed at random; by the hundred thousand they are run by hand."""

import random
from collections.abc import Callable

import pytest

from tests.exchange.bundles.fuzzing import MUTATIONS, SEEDS, outcome, run


def test_a_bundle_changed_at_random_is_refused_or_whole() -> None:
    found = run(1500, 2026)
    assert found.total() == 1500
    assert set(found) >= {
        "read", "NoBundle", "WrongManifest", "Damaged", "CannotUnpack", "WrongEntry", "UntrueManifest", "CutOff",
    }  # fmt: skip


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda mutation: mutation.__name__)
def test_every_way_of_changing_changes(mutation: Callable[[bytes, random.Random], bytes]) -> None:
    chance = random.Random(1)
    assert all(mutation(seed, chance) != seed for seed in SEEDS for _ in range(20))


def test_what_gets_a_right_hash_comes_as_far_as_the_checks_inside() -> None:
    chance = random.Random(1)
    deep = [outcome(mutation(SEEDS[0], chance)) for mutation in MUTATIONS[4:] for _ in range(50)]
    assert deep.count("Damaged") == 0
    assert deep.count("WrongEntry") > len(deep) / 2
