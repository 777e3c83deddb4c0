"""What people do on three to five laptops, in any order, until everybody gets everything."""

import json
import random
from collections import Counter
from pathlib import Path
from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.internal.conjecture import providers
from hypothesis.internal.constants_ast import Constants
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test

from obslog.club.register.named_records import add
from obslog.records.bundles.forgetting import OWN
from obslog.records.nameless import MEMBER
from obslog.records.opening import open_database
from tests.conftest import quiet
from tests.records.bundles.answering import answers
from tests.records.bundles.decisions import decide_something
from tests.records.bundles.erasing import KNOWN_TO_ALL, People, called_after, entries_of_contacts, traces
from tests.records.bundles.exchanging import take_from_files
from tests.records.bundles.settled_keys import settle_keys
from tests.records.merging.laptops import BEGUN, Laptop, begin_club, laptops
from tests.records.merging.whole_log import Whole, entries_of_all

STEPS = 30
BY_FILE = EACH_FROM_ALL = 8
"""One exchange in so many goes through files; in one history of so many each gets everything from all at the end."""


numbers = st.integers(min_value=0, max_value=4)
seeds = st.integers(min_value=0, max_value=2**32)


class SeveralLaptops(RuleBasedStateMachine):
    counts: ClassVar[Counter[str]]
    """What was done in all histories of the machine, for who wants to know what they were held to."""
    template: Path
    folder: Path
    patch: pytest.MonkeyPatch

    @initialize(count=st.integers(min_value=3, max_value=5), seed=seeds)
    def begin(self, count: int, seed: int) -> None:
        settle_keys(self.patch, seed, days=1)
        self.chance = random.Random(seed)
        self.laptops = laptops(self.template, self.folder, count, seed)
        self.people = People(self.laptops[0])
        self.acknowledged = [laptop.log() for laptop in self.laptops]
        self.of_contacts: set[str] = set()

    @rule(which=numbers, times=st.integers(min_value=1, max_value=4), seed=seeds)
    def somebody_does_something(self, which: int, times: int, seed: int) -> None:
        laptop = self._laptop(which, seed)
        for _ in range(times):
            if laptop.chance.random() < 0.2:
                self.people.somebody(laptop)
            else:
                laptop.something()
        self._acknowledge(which)

    @rule(which=numbers, seed=seeds)
    def somebody_decides(self, which: int, seed: int) -> None:
        """By hand: which of two values stands, what is dropped, which are one, which act is taken back, who left."""
        laptop = self._laptop(which, seed)
        if laptop.chance.random() < 0.15:
            self.people.erase(laptop)
        else:
            decide_something(laptop)
        self._acknowledge(which)

    @rule(which=numbers, others=st.lists(numbers, min_size=1, max_size=3), seed=seeds)
    def somebody_merges(self, which: int, others: list[int], seed: int) -> None:
        laptop = self._laptop(which, seed)
        from_others = [other for other in map(self._laptop, others) if other is not laptop]
        if not from_others:
            return
        if laptop.chance.randrange(BY_FILE):
            laptop.take_from(*from_others)
        else:
            take_from_files(laptop, *from_others)
            self.counts["merges of files"] += 1
        self.people.know_who_is_here(laptop)
        self.counts["merges"] += 1
        check_rows(laptop)

    def teardown(self) -> None:
        if not hasattr(self, "laptops"):
            return
        try:
            self._everybody_gets_everything()
            self._all_say_the_same()
        finally:
            for laptop in self.laptops:
                laptop.close()

    def _everybody_gets_everything(self) -> None:
        first, *others = self.laptops
        if not self.chance.randrange(EACH_FROM_ALL):
            for laptop in reversed(others):
                laptop.take_from(*(other for other in self.laptops if other is not laptop))
        self._all_by_the_first(first, others)
        if called_after(first, self.people.words_to_be_gone()):
            self._all_by_the_first(first, others)

    def _all_by_the_first(self, first: Laptop, others: list[Laptop]) -> None:
        """Twice where something is called after who left: who made them nameless, and wrote of that thing later, does
        not know their name; the others take it out of what was written, and tell that back.
        """
        first.take_from(*others)
        all_of_it = first.told()
        for laptop in others:
            laptop.take_in(all_of_it)

    def _all_say_the_same(self) -> None:
        first, *others = self.laptops
        check_rows(first)
        log, texts, rows, asides = first.log(), texts_of_log(first), first.rows(), first.asides()
        for laptop in others:
            assert laptop.log() == log
            assert differences(texts_of_log(laptop), texts) == {}
            assert differences(laptop.rows(), rows) == {}
            assert laptop.asides() == asides
        one_other = self.chance.choice(
            others
        )  # what is said follows from all this, and takes long to ask for
        assert differences(answers(one_other.database), answers(first.database)) == {}
        for of_one in self.acknowledged:
            assert all(of_one[kind] - self.of_contacts <= log[kind] for kind in of_one)
        self.counts["histories"] += 1
        self.counts["acts"] += len(log["Act"])
        self.counts["members made nameless"] += len(self.people.nameless)
        to_be_gone = self.people.words_to_be_gone()
        for laptop in self.laptops:
            assert traces(laptop, to_be_gone) == set()
        for giver, laptop in zip([*others, first], self.laptops, strict=True):
            laptop.take_from(giver)  # what is there already adds nothing
            assert laptop.log() == log
            assert differences(laptop.rows(), rows) == {}
            assert laptop.asides() == asides

    def _acknowledge(self, number: int) -> None:
        """Remember what a person was told is on record: whatever is merged later, it may not be lost.

        How somebody is reached may: it goes out of the log when they leave, with the acts that told nothing else. A
        bundle of what may leave a laptop holds such an act without it.
        """
        log, laptop = self.acknowledged[number % len(self.laptops)], self._laptop(number)
        self.of_contacts |= entries_of_contacts(laptop)
        for kind, keys in laptop.log().items():
            log[kind] |= keys

    def _laptop(self, number: int, seed: int | None = None) -> Laptop:
        laptop = self.laptops[number % len(self.laptops)]
        if seed is not None:
            laptop.chance = random.Random(seed)
        return laptop


def club_in(folder: Path) -> Path:
    """A small club, to be copied for each laptop and never opened again."""
    template = folder / "club.db"
    database = open_database(str(template), BEGUN, quiet)
    begin_club(database)
    for name in KNOWN_TO_ALL:
        add(database, "member", name, {}, BEGUN)
    database.close()
    return template


def machine_in(folder: Path, monkeypatch: pytest.MonkeyPatch) -> type[SeveralLaptops]:
    """The laptops of a club made in the folder; the same histories wherever it lies.

    Hypothesis mixes numbers from the source of whatever is loaded into what it draws. Without that a seed is the same
    histories in each process, and after a change of the program that has nothing to do with them.
    """
    settle_keys(monkeypatch, 0)
    monkeypatch.setattr(providers, "_get_local_constants", Constants, raising=False)

    class Here(SeveralLaptops):
        counts: ClassVar[Counter[str]] = Counter()
        template = club_in(folder)
        patch = monkeypatch

    Here.folder = folder
    return Here


def run(machine: type[SeveralLaptops], histories: int, *, shrinking: bool = True) -> None:
    """Run so many histories; the first that fails is made as short as it can be, where that is wanted, and raised."""
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=histories,
            stateful_step_count=STEPS,
            deadline=None,
            database=None,
            phases=[Phase.generate, Phase.shrink] if shrinking else [Phase.generate],
            suppress_health_check=list(HealthCheck),
        ),
    )


def differences(one: dict[Any, Any], other: dict[Any, Any]) -> dict[Any, Any]:
    """What the one says and the other does not, column by column."""
    return {
        key: (one.get(key), other.get(key))
        for key in one.keys() | other.keys()
        if one.get(key) != other.get(key)
    }


def texts_of_log(laptop: Laptop) -> dict[str, Any]:
    """What each act and each entry of one record says.

    Of what a member was called, and of their leaving, older entries may say less on one laptop: who was joined by
    mistake to somebody who then left was taken for them there, until it was heard that the joining was taken back.
    """
    with laptop.database.read() as session:
        driver: Any = session.connection().connection.driver_connection
        acts = driver.execute("SELECT id, at_utc, sentence, who, origin, undoes_id, undone_utc FROM acts")
        changes = driver.execute("SELECT id, act_id, record_kind, record_id, before, after FROM changes")
        told: dict[str, Any] = {key: rest for key, *rest in acts}
        for key, act, kind, record, *images in changes:
            told[key] = act, kind, record, *(_told_by(kind, json.loads(image or "null")) for image in images)
    return told


def _told_by(kind: str, image: dict[str, Any] | None) -> dict[str, Any] | None:
    if image is None or kind != MEMBER:
        return image
    return {name: value for name, value in image.items() if name not in OWN or name == "note"}


def check_rows(laptop: Laptop) -> None:
    """The rows, and what does not stand as the log says, are what the whole log means."""
    with laptop.database.read() as session:
        whole = Whole(entries_of_all(session))
    assert differences(laptop.rows(), whole.rows) == {}
    assert laptop.asides() == whole.asides
