"""Any sequence of acts keeps every thing in exactly one place, and accounts for every day of it once.

Loans, hand-overs, returns, renewals, reservations, parts of kits missing, found and replaced, retirements, and undo of
any of them, beside a model on paper that knows nothing of the program.
"""

import shutil
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import strategies as st
from hypothesis.stateful import (
    invariant,
    precondition,
    rule,
)
from sqlalchemy import select

from obslog.club.annual.inventory_year import utilisation
from obslog.club.annual.report_records import Period
from obslog.club.annual.storeroom_year import read_storeroom
from obslog.club.register.undo import undo
from obslog.club.storeroom.custody import holders
from obslog.club.storeroom.kits import list_kits, replace_part
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.missing import part_goes_missing, part_is_found
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.waiting_list import reserve, waiting_list, withdraw
from obslog.errors import ObslogError
from obslog.records.tables.lending import Absence, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment
from obslog.vocabulary.storeroom import Condition
from tests.club.storeroom.any_order import FIRST, AnyOrder, hold_in_any_order
from tests.club.storeroom.lending_model import LABELS, MISSING, RETIRED, STORE, StoreRoomOnPaper

MEMBERS = ("Ines", "Bram", "Cleo")
THINGS = ("One", "Two", "Three", "Four")
KITS = {"Left": ["One", "Two", *LABELS], "Right": ["Three"]}
members, things, kits = st.sampled_from(MEMBERS), st.sampled_from(THINGS), st.sampled_from(sorted(KITS))
names = st.one_of(things, kits)


class StoreRoom(AnyOrder):
    def __init__(self) -> None:
        super().__init__()
        self.paper = StoreRoomOnPaper(
            dict.fromkeys(THINGS, STORE), {kit: list(parts) for kit, parts in KITS.items()}, FIRST.date()
        )
        self.before: list[StoreRoomOnPaper] = []  # what it was before each act, for undo

    @property
    def today(self) -> date:
        return self.now.date()

    def act(self, allowed: Callable[[StoreRoomOnPaper], bool], done: Callable[[], object]) -> None:
        """Do it where the model allows it; where it does not, the program has to refuse."""
        was = self.paper.copy()
        if allowed(self.paper):
            done()
            self.before.append(was)
        else:
            with pytest.raises(ObslogError):
                done()

    @rule(days=st.integers(0, 40))
    def time_passes(self, days: int) -> None:
        self.now += timedelta(days=days)

    @rule(name=names, member=members, pass_over=st.booleans())
    def lend_it(self, name: str, member: str, pass_over: bool) -> None:
        self.act(
            lambda paper: paper.lend(name, member, self.today, pass_over),
            lambda: lend(self.database, name, member, self.now, pass_over=pass_over),
        )

    @rule(name=names, lost=st.booleans())
    def take_it_back(self, name: str, lost: bool) -> None:
        conditions = self._lost(name) if lost else {}
        self.act(
            lambda paper: paper.take_back(name, lost, self.today),
            lambda: take_back(self.database, name, self.now, conditions=conditions),
        )

    @rule(name=names, member=members, lost=st.booleans(), pass_over=st.booleans())
    def hand_it_over(self, name: str, member: str, lost: bool, pass_over: bool) -> None:
        conditions = self._lost(name) if lost else {}
        self.act(
            lambda paper: paper.hand_over(name, member, lost, self.today, pass_over),
            lambda: hand_over(
                self.database, name, member, self.now, conditions=conditions, pass_over=pass_over
            ),
        )

    @rule(name=names)
    def renew_it(self, name: str) -> None:
        self.act(lambda paper: paper.renew(name, self.today), lambda: renew(self.database, name, self.now))

    @rule(name=names, member=members)
    def reserve_it(self, name: str, member: str) -> None:
        self.act(
            lambda paper: paper.reserve(name, member), lambda: reserve(self.database, name, member, self.now)
        )

    @rule(name=names, member=members)
    def withdraw_it(self, name: str, member: str) -> None:
        self.act(
            lambda paper: paper.withdraw(name, member),
            lambda: withdraw(self.database, name, member, self.now),
        )

    @rule(kit=kits, place=st.integers(0, 2))
    def miss_a_part(self, kit: str, place: int) -> None:
        part = self._part(kit, place)
        if self.paper.place.get(part) != RETIRED:
            self.act(
                lambda paper: paper.miss(part, self.today),
                lambda: part_goes_missing(self.database, kit, part, self.now),
            )

    @rule(kit=kits, place=st.integers(0, 2))
    def find_a_part(self, kit: str, place: int) -> None:
        part = self._part(kit, place)
        if self.paper.place.get(part) != RETIRED:
            self.act(
                lambda paper: paper.find(part, self.today),
                lambda: part_is_found(self.database, kit, part, self.now),
            )

    @rule(kit=kits, place=st.integers(0, 2), by=st.sampled_from([*THINGS, *LABELS]))
    def replace_a_part(self, kit: str, place: int, by: str) -> None:
        part = self._part(kit, place)
        elsewhere = [name for other, parts in self.paper.parts.items() if other != kit for name in parts]
        if by in LABELS and by in elsewhere:
            return  # a label may stand in several kits, but the model knows it by its words alone
        if kit not in self.paper.loans and part != by:
            self.act(
                lambda paper: paper.replace(kit, part, by),
                lambda: replace_part(self.database, kit, part, by, self.now),
            )

    @rule(name=names)
    def retire_it(self, name: str) -> None:
        kind = "kit" if name in KITS else "eyepiece"
        self.act(
            lambda paper: paper.retire(name, self.today),
            lambda: retire(self.database, kind, name, None, self.today, self.now),
        )

    @precondition(lambda self: self.before)
    @rule()
    def undo_it(self) -> None:
        undo(self.database, self.now)
        self.paper = self.before.pop()

    @invariant()
    def every_thing_is_in_the_one_place_where_the_model_has_it(self) -> None:
        with self.database.read() as session:
            out = holders(session, with_names=True)
            lost = set(session.scalars(select(Absence.equipment_id).where(Absence.found_on.is_(None))))
            for thing in session.scalars(select(Equipment)):
                held, expected = out.get(thing.id), self.paper.place[thing.name]
                assert (held.member if held else None) == (expected if expected in MEMBERS else None)
                assert (thing.retired_on is not None) == (expected == RETIRED)
                if expected != RETIRED:
                    assert (thing.id in lost) == (expected == MISSING)

    @invariant()
    def loans_queues_and_kits_are_those_of_the_model(self) -> None:
        loans = {
            loan.what: (loan.member, loan.out_on, loan.due_on)
            for loan in list_loans(self.database, self.today)
        }
        assert loans == {
            name: (loan.member, loan.out_on, loan.due_on) for name, loan in self.paper.loans.items()
        }
        queue: dict[str, list[str | None]] = {}
        for line in waiting_list(self.database):
            queue.setdefault(line.what, []).append(line.member)
        assert queue == self.paper.queue
        parts = {
            kit.name: [part.part for part in kit.parts] for kit in list_kits(self.database, with_retired=True)
        }
        assert parts == self.paper.parts

    @invariant()
    def no_two_loans_of_a_thing_overlap(self) -> None:
        """They may touch on a day, since a return and a loan can share it."""
        query = select(LoanPart.label, Loan.out_on, LoanPart.back_on).join(Loan, LoanPart.loan_id == Loan.id)
        with self.database.read() as session:
            rows = sorted((label, out, back or self.today) for label, out, back in session.execute(query))
        for (one, _, back), (other, out, _) in pairwise(rows):
            assert one != other or back <= out

    @invariant()
    def every_day_of_a_thing_is_accounted_for_once(self) -> None:
        period = Period(FIRST.date(), self.today)
        with self.database.read() as session:
            lines = utilisation(read_storeroom(session, period), period).lines
        assert {line.name for line in lines} == {*THINGS, *KITS}
        for line in lines:
            days = self.paper.days_by_sort(line.name, self.today)
            counted = (line.days_out, line.days_available, line.days_missing)
            assert counted == (days["out"], days["out"] + days["store"], days["missing"]), line.name
            assert sum(days.values()) == period.days

    def _lost(self, name: str) -> dict[str, tuple[Condition, str | None]]:
        went = self.paper.loans[name].went if name in self.paper.loans else [name]
        return {went[0]: (Condition.MISSING, None)}

    def _part(self, kit: str, place: int) -> str:
        parts = self.paper.parts[kit]
        return parts[place % len(parts)]


def test_every_thing_is_in_one_place_and_every_day_counted_once(
    sqlite_template: Path, tmp_path: Path
) -> None:
    path = Path(shutil.copy(sqlite_template, tmp_path / "club.db"))
    hold_in_any_order(StoreRoom, path, MEMBERS, THINGS, KITS)
