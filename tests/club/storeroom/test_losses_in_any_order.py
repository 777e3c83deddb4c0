"""Any sequence of loans, losses, finds, write-offs and returns: one place for each thing, a history in order.

The model beside the program is a dictionary of places and a list of what was done, written without its rules.
"""

import shutil
from datetime import date, timedelta
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.stateful import invariant, rule

from obslog.club.register.things import thing_named
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.storeroom.item_history import Event, Phase, PlacedEvent, history_of, in_order_of_time
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import be_found, go_missing
from obslog.club.storeroom.retirement import reinstate, retire, write_off
from obslog.club.storeroom.store_list import store_list
from obslog.club.upkeep.services import add_service
from obslog.errors import ObslogError
from tests.club.storeroom.any_order import AnyOrder, hold_in_any_order

MEMBERS = ("Ines", "Bram")
KIT, PARTS, ALONE = "Box", ("One", "Two"), "Three"
THINGS = (*PARTS, ALONE)
things, members = st.sampled_from(THINGS), st.sampled_from(MEMBERS)
IN, OUT, MISSING = StoreStatus.IN, StoreStatus.OUT, StoreStatus.MISSING
RETIRED, GONE = StoreStatus.RETIRED, StoreStatus.WRITTEN_OFF


def whereabouts(events: list[tuple[date, str]]) -> list[tuple[date, str]]:
    """What says where a thing was, in its order: found by being in use again is one event, and a service is none."""
    in_use = {day for day, what in events if what == "in use"}
    return [
        (day, what) for day, what in events if what != "service" and not (what == "found" and day in in_use)
    ]


class Losses(AnyOrder):
    def __init__(self) -> None:
        super().__init__()
        self.place = dict.fromkeys(THINGS, IN)
        self.lost = dict.fromkeys(THINGS, False)  # missing, whatever else it is
        self.went: set[str] = set()  # the parts that are out with the kit
        self.done: dict[str, list[tuple[date, str]]] = {name: [] for name in THINGS}

    def note(self, name: str, *what: str) -> None:
        self.done[name] += [(self.now.date(), word) for word in what]

    def refused(self, act: object, *arguments: object, **more: object) -> None:
        with pytest.raises(ObslogError):
            act(self.database, *arguments, self.now, **more)  # type: ignore[operator]

    @rule(days=st.integers(0, 20))
    def time_passes(self, days: int) -> None:
        self.now += timedelta(days=days)

    @rule(member=members)
    def lend_the_kit(self, member: str) -> None:
        there = [name for name in PARTS if self.place[name] is IN]
        if self.went or not there:
            self.refused(lend, KIT, member)
            return
        lend(self.database, KIT, member, self.now)
        self.went = set(there)
        for name in there:
            self.place[name] = OUT
            self.note(name, "out")

    @rule()
    def take_the_kit_back(self) -> None:
        if not self.went:
            self.refused(take_back, KIT)
            return
        take_back(self.database, KIT, self.now, all_good=True)
        for name in self.went:
            self.place[name] = IN
            self.note(name, "back")
        self.went = set()

    @rule(name=things, member=members)
    def lend_one(self, name: str, member: str) -> None:
        if self.place[name] is not IN:
            self.refused(lend, name, member)
            return
        lend(self.database, name, member, self.now)
        self.place[name] = OUT
        self.note(name, "out")

    @rule(name=things)
    def take_one_back(self, name: str) -> None:
        if self.place[name] is not OUT or name in self.went:
            self.refused(take_back, name)
            return
        take_back(self.database, name, self.now)
        self.place[name] = IN
        self.note(name, "back")

    @rule(name=things, on_loan=st.booleans())
    def lose(self, name: str, on_loan: bool) -> None:
        if self.lost[name] or (self.place[name] is OUT) is not on_loan:
            self.refused(go_missing, name, lost_on_loan=on_loan)
            return
        if self.place[name] is not IN and self.place[name] is not OUT:
            return  # retired: whether it can go missing as well is nobody's concern
        go_missing(self.database, name, self.now, lost_on_loan=on_loan)
        self._lost(name, on_loan)
        self.place[name] = MISSING

    def _lost(self, name: str, on_loan: bool) -> None:
        self.note(name, *(["back"] if on_loan else []), "missing")
        self.went.discard(name)
        self.lost[name] = True

    @rule(name=things)
    def find(self, name: str) -> None:
        if not self.lost[name]:
            self.refused(be_found, name)
            return
        if self.place[name] is not MISSING:
            return
        be_found(self.database, name, self.now)
        self.note(name, "found")
        self.place[name], self.lost[name] = IN, False

    @rule(name=things, on_loan=st.booleans())
    def write_it_off(self, name: str, on_loan: bool) -> None:
        place = self.place[name]
        if place is GONE or (place is OUT) is not on_loan:
            self.refused(write_off, name, "gone", lost_on_loan=on_loan)
            return
        write_off(self.database, name, "gone", self.now, lost_on_loan=on_loan)
        if on_loan:
            self._lost(name, on_loan)
        self.place[name] = GONE
        self.note(name, "written off")

    @rule(name=things)
    def retire_it(self, name: str) -> None:
        if self.place[name] not in (IN, MISSING):
            return
        retire(self.database, "eyepiece", name, "worn", self.now.date(), self.now)
        self.place[name] = RETIRED
        self.note(name, "retired")

    @rule(name=things)
    def take_it_into_use(self, name: str) -> None:
        if self.place[name] not in (RETIRED, GONE):
            self.refused(reinstate, name)
            return
        reinstate(self.database, name, self.now)
        self.note(name, "in use", *(["found"] if self.lost[name] else []))
        self.place[name], self.lost[name] = IN, False

    @rule(name=things)
    def serve(self, name: str) -> None:
        add_service(self.database, "eyepiece", name, "looked at", self.now, on=self.now.date())
        self.note(name, "service")

    @invariant()
    def every_thing_is_in_one_place(self) -> None:
        lines = {line.name: line.status for line in store_list(self.database, with_retired=True)}
        assert {name: lines[name] for name in THINGS} == self.place
        assert lines[KIT] is (OUT if self.went else IN)

    @invariant()
    def each_history_has_all_that_was_done_in_order_of_time(self) -> None:
        with self.database.read() as session:
            histories = {
                name: history_of(session, thing_named(session, name), with_names=False) for name in THINGS
            }
        for name, history in histories.items():
            days = [event.day for event in history]
            assert days == sorted(days)
            told = [(event.day, event.what) for event in history if event.what not in ("kit", "retired")]
            done = [(day, what) for day, what in self.done[name] if what != "retired"]
            assert sorted(told) == sorted(done)
            assert whereabouts(told) == whereabouts(done)


def test_places_and_histories_hold_after_any_sequence(sqlite_template: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(sqlite_template, tmp_path / "club.db"))
    hold_in_any_order(Losses, path, MEMBERS, THINGS, {KIT: PARTS})


events = st.builds(
    Event, st.dates(date(2020, 1, 1), date(2020, 1, 4)), st.sampled_from("abc"), st.sampled_from("xyz")
)
told_events = st.builds(PlacedEvent, events, st.sampled_from(Phase), st.integers(0, 2), st.integers(0, 2))


@given(told=st.lists(told_events, max_size=5))
def test_the_order_is_of_days_and_loses_nothing(told: list[PlacedEvent]) -> None:
    everything = [one.event for one in told]
    for arranged in permutations(told):
        ordered = in_order_of_time(arranged)
        assert [event.day for event in ordered] == sorted(event.day for event in everything)
        assert sorted(map(repr, ordered)) == sorted(map(repr, everything))
