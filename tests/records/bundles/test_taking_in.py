"""Several laptops, whatever people do on them, and bundles in any order and repetition: all come to say the same."""

import os
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test

from obslog.club.storeroom.loan_pages import list_loans
from obslog.records.merging.disagreements import disagreements
from obslog.records.opening import open_database
from tests.conftest import quiet
from tests.records.merging.laptops import BEGUN, Laptop, begin_club, laptops
from tests.records.merging.whole_log import Key, Whole, entries_of_all

FEW, MANY = 6, int(os.environ.get("OBSLOG_HISTORIES", "60"))  # 2,000 take a quarter of an hour
numbers = st.integers(min_value=0, max_value=4)


def _club_in(folder: Path) -> Path:
    """A small club, to be copied for each laptop and never opened again."""
    template = folder / "club.db"
    database = open_database(str(template), BEGUN, quiet)
    begin_club(database)
    database.close()
    return template


def differences(one: dict[Key, Any], other: dict[Key, Any]) -> dict[Key, Any]:
    """What the one says and the other does not, column by column."""
    return {
        key: (one.get(key), other.get(key))
        for key in one.keys() | other.keys()
        if one.get(key) != other.get(key)
    }


def check_rows(laptop: Laptop) -> None:
    """The rows, and what does not stand as the log says, are what the whole log means."""
    with laptop.database.read() as session:
        whole = Whole(entries_of_all(session))
    assert differences(laptop.rows(), whole.rows) == {}
    assert laptop.asides() == whole.asides


class SeveralLaptops(RuleBasedStateMachine):
    """What people do on three to five laptops, in any order; in the end everybody gets everything."""

    template: Path
    folder: Path

    @initialize(count=st.integers(min_value=3, max_value=5), seed=st.integers(min_value=0, max_value=2**32))
    def begin(self, count: int, seed: int) -> None:
        self.laptops = laptops(self.template, self.folder, count, seed)

    @rule(
        which=numbers,
        times=st.integers(min_value=1, max_value=4),
        seed=st.integers(min_value=0, max_value=2**32),
    )
    def somebody_does_something(self, which: int, times: int, seed: int) -> None:
        laptop = self._laptop(which)
        laptop.chance = random.Random(seed)
        for _ in range(times):
            laptop.something()

    @rule(which=numbers, others=st.lists(numbers, min_size=1, max_size=3))
    def somebody_merges(self, which: int, others: list[int]) -> None:
        laptop = self._laptop(which)
        from_others = [other for other in map(self._laptop, others) if other is not laptop]
        if from_others:
            laptop.take_from(*from_others)
            check_rows(laptop)

    def teardown(self) -> None:
        if not hasattr(self, "laptops"):
            return
        try:
            self._everybody_gets_everything()
        finally:
            for laptop in self.laptops:
                laptop.database.close()
                Path(laptop.database.where).unlink()

    def _everybody_gets_everything(self) -> None:
        acknowledged = [laptop.log() for laptop in self.laptops]
        first, *others = self.laptops
        for laptop in reversed(self.laptops):
            laptop.take_from(*(other for other in self.laptops if other is not laptop))
        for laptop in self.laptops[:-1]:  # the last to merge had got everything
            for other in self.laptops:
                if other is not laptop:
                    laptop.take_from(other)
        check_rows(first)
        for laptop in others:
            assert laptop.log() == first.log()
            assert differences(laptop.rows(), first.rows()) == {}
            assert laptop.asides() == first.asides()
            assert answers(laptop) == answers(first)
        for log in acknowledged:
            assert all(log[kind] <= first.log()[kind] for kind in log)

    def _laptop(self, number: int) -> Laptop:
        return self.laptops[number % len(self.laptops)]


def answers(laptop: Laptop) -> list[Any]:
    """What the program says when it is asked: who has what, and what two laptops contradict each other in."""
    with laptop.database.read() as session:
        contradictions = [(one.reference, one.lost) for one in disagreements(session)]
    return [list_loans(laptop.database, laptop.now.date().replace(month=4)), contradictions]


@pytest.fixture
def machine(tmp_path: Path) -> type[SeveralLaptops]:
    class Here(SeveralLaptops):
        template = _club_in(tmp_path)
        folder = tmp_path

    return Here


def run(machine: type[SeveralLaptops], histories: int) -> None:
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=histories,
            stateful_step_count=30,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


def test_all_laptops_come_to_say_the_same(machine: type[SeveralLaptops]) -> None:
    run(machine, FEW)


@pytest.mark.slow
def test_all_laptops_come_to_say_the_same_over_many_histories(machine: type[SeveralLaptops]) -> None:
    run(machine, MANY)
