"""Several laptops, whatever people do on them, and bundles in any order and repetition: all come to say the same."""

import os
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test
from sqlalchemy import select

from obslog.club.history.told import history_of, newest_acts
from obslog.club.night.night_pages import list_nights
from obslog.club.register.named_records import listed
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.store_list import store_list
from obslog.club.together.deciding import list_conflicts
from obslog.errors import ObslogError
from obslog.records.merging.disagreements import disagreements
from obslog.records.opening import Database, open_database
from obslog.records.tables.logbook_tables import Mount
from tests.conftest import quiet
from tests.records.bundles.decisions import decide_something
from tests.records.bundles.settled_keys import settle_keys
from tests.records.merging.laptops import BEGUN, Laptop, begin_club, laptops
from tests.records.merging.whole_log import Key, Whole, entries_of_all

FEW, MANY = 6, int(os.environ.get("OBSLOG_HISTORIES", "60"))
SEEDS, OF_A_SEED = (0, 5), 250
"""Where CI is set: 500 histories, each seed's the same wherever they are run."""
numbers = st.integers(min_value=0, max_value=4)
seeds = st.integers(min_value=0, max_value=2**32)


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
    patch: pytest.MonkeyPatch

    @initialize(count=st.integers(min_value=3, max_value=5), seed=seeds)
    def begin(self, count: int, seed: int) -> None:
        settle_keys(self.patch, seed, days=1)
        self.laptops = laptops(self.template, self.folder, count, seed)
        self.acknowledged = [laptop.log() for laptop in self.laptops]

    @rule(which=numbers, times=st.integers(min_value=1, max_value=4), seed=seeds)
    def somebody_does_something(self, which: int, times: int, seed: int) -> None:
        laptop = self._laptop(which)
        laptop.chance = random.Random(seed)
        for _ in range(times):
            laptop.something()
        self._acknowledge(which)

    @rule(which=numbers, seed=seeds)
    def somebody_decides(self, which: int, seed: int) -> None:
        """By hand: which of two values stands, what is dropped, which two are one, or which act is taken back."""
        laptop = self._laptop(which)
        laptop.chance = random.Random(seed)
        decide_something(laptop)
        self._acknowledge(which)

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
        first, *others = self.laptops
        for laptop in reversed(self.laptops):
            laptop.take_from(*(other for other in self.laptops if other is not laptop))
        for laptop in others:  # the first was the last to merge, and had got everything
            laptop.take_from(first)
        check_rows(first)
        log, rows, asides, said = first.log(), first.rows(), first.asides(), answers(first)
        for laptop in others:
            assert laptop.log() == log
            assert differences(laptop.rows(), rows) == {}
            assert laptop.asides() == asides
            assert answers(laptop) == said
        for of_one in self.acknowledged:
            assert all(of_one[kind] <= log[kind] for kind in of_one)
        first.take_from(*others)  # what is there already adds nothing
        assert first.log() == log
        assert differences(first.rows(), rows) == {}
        assert first.asides() == asides

    def _acknowledge(self, number: int) -> None:
        """Remember what a person was told is on record: whatever is merged later, it may not be lost."""
        log = self.acknowledged[number % len(self.laptops)]
        for kind, keys in self._laptop(number).log().items():
            log[kind] |= keys

    def _laptop(self, number: int) -> Laptop:
        return self.laptops[number % len(self.laptops)]


def answers(laptop: Laptop) -> list[Any]:
    """What the program says when it is asked for nights, loans, the store-room, people, contradictions and the log."""
    database, day = laptop.database, BEGUN.date().replace(month=4)
    with database.read() as session:
        contradictions = [(one.reference, one.lost) for one in disagreements(session)]
        mounts = session.scalars(select(Mount.name).order_by(Mount.id)).all()
    return [
        list_nights(database),
        list_loans(database, day),
        store_list(database, with_retired=True),
        listed(database, "member"),
        listed(database, "site"),
        contradictions,
        list_conflicts(database).to_settle,
        newest_acts(database, 50),
        [_history(database, name) for name in mounts[:2]],
    ]


def _history(database: Database, name: str) -> Any:
    """What was done to it; where others have the name too, which they are."""
    try:
        return history_of(database, name, 50)
    except ObslogError as error:
        return error.message


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> type[SeveralLaptops]:
    settle_keys(monkeypatch, 0)

    class Here(SeveralLaptops):
        template = _club_in(tmp_path)
        folder = tmp_path
        patch = monkeypatch

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


@pytest.mark.skipif("CI" not in os.environ, reason="takes minutes: only where CI is set")
@pytest.mark.parametrize("number", SEEDS)
def test_all_laptops_come_to_say_the_same_over_hundreds_of_histories(
    machine: type[SeveralLaptops], number: int
) -> None:
    run(seed(number)(machine), OF_A_SEED)


@pytest.mark.slow
def test_all_laptops_come_to_say_the_same_over_many_histories(machine: type[SeveralLaptops]) -> None:
    run(machine, MANY)
