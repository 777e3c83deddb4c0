"""Any sequence of loans, returns, hand-overs, losses and retirements keeps every thing in exactly one place.

The model beside the program is a dictionary of places, written without looking at the program's own rules.
"""

import shutil
import tempfile
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test
from sqlalchemy import select

from obslog.club.kits import add_kit, set_missing
from obslog.club.loans import NotOut, NotToBeLent, hand_over, lend, take_back
from obslog.club.registry import AlreadyRetired, add, retire
from obslog.club.whereabouts import IsOut, holders
from obslog.records.engine import make_engine
from obslog.records.opening import Database
from obslog.records.tables import Eyepiece, Kit, Loan, LoanPart
from obslog.vocabulary import Condition

MEMBERS = ("Ada", "Bram", "Cleo")
THINGS = ("One", "Two", "Three", "Four")
KITS = {"Left": ("One", "Two"), "Right": ("Three",)}
STORE, MISSING, RETIRED = "store", "missing", "retired"
REFUSED = (IsOut, NotOut, NotToBeLent, AlreadyRetired)
FIRST = datetime(2026, 1, 1, 20, tzinfo=UTC)
members, things, kits = st.sampled_from(MEMBERS), st.sampled_from(THINGS), st.sampled_from(sorted(KITS))


class StoreRoom(RuleBasedStateMachine):
    template: Path

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        path = shutil.copy(self.template, self.folder / "club.db")
        self.database = Database(make_engine(str(path)), str(path))
        self.now = FIRST
        self.place = dict.fromkeys(THINGS, STORE)
        self.by_kit: dict[str, list[str]] = {}  # the kits that are out, with what went out in them
        self.holder: dict[str, str] = {}  # of kits and of single things that are out as such

    @rule(days=st.integers(0, 40))
    def time_passes(self, days: int) -> None:
        self.now += timedelta(days=days)

    @rule(name=things, member=members)
    def lend_a_thing(self, name: str, member: str) -> None:
        if self.place[name] == STORE:
            lend(self.database, name, member, self.now)
            self.place[name] = self.holder[name] = member
        else:
            with pytest.raises(REFUSED):
                lend(self.database, name, member, self.now)

    @rule(kit=kits, member=members)
    def lend_a_kit(self, kit: str, member: str) -> None:
        there = [name for name in KITS[kit] if self.place[name] == STORE]
        if kit in self.by_kit or not there:
            with pytest.raises(REFUSED):
                lend(self.database, kit, member, self.now)
            return
        lend(self.database, kit, member, self.now)
        self.by_kit[kit], self.holder[kit] = there, member
        self.place |= dict.fromkeys(there, member)

    @rule(name=st.one_of(things, kits), lost=st.booleans())
    def take_it_back(self, name: str, lost: bool) -> None:
        went = self.by_kit.get(name, [name])
        conditions = {went[0]: (Condition.MISSING, None)} if lost else {}
        if name not in self.holder:
            with pytest.raises(REFUSED):
                take_back(self.database, name, self.now)
            return
        take_back(self.database, name, self.now, conditions=conditions)
        self.place |= dict.fromkeys(went, STORE) | ({went[0]: MISSING} if lost else {})
        self.holder.pop(name)
        self.by_kit.pop(name, None)

    @rule(name=st.one_of(things, kits), member=members)
    def hand_it_over(self, name: str, member: str) -> None:
        if self.holder.get(name, member) == member:
            with pytest.raises(REFUSED):
                hand_over(self.database, name, member, self.now)
            return
        hand_over(self.database, name, member, self.now)
        self.holder[name] = member
        self.place |= dict.fromkeys(self.by_kit.get(name, [name]), member)

    @rule(name=things)
    def find_it(self, name: str) -> None:
        kit = next((kit for kit, parts in KITS.items() if name in parts), None)
        if kit is not None and self.place[name] == MISSING:
            set_missing(self.database, kit, name, self.now, missing=False)
            self.place[name] = STORE

    @rule(name=st.sampled_from(["Four", "Two"]))
    def retire_it(self, name: str) -> None:
        if self.place[name] in (STORE, MISSING):
            retire(self.database, "eyepiece", name, None, self.now.date(), self.now)
            self.place[name] = RETIRED
        else:
            with pytest.raises(REFUSED):
                retire(self.database, "eyepiece", name, None, self.now.date(), self.now)

    @invariant()
    def every_thing_is_where_the_model_has_it(self) -> None:
        with self.database.read() as session:
            out = holders(session)
            for thing in session.scalars(select(Eyepiece)):
                held = out.get(thing.id)
                expected = self.place[thing.name]
                assert (held.member if held else None) == (expected if expected in MEMBERS else None)
                assert (thing.retired_on is not None) == (expected == RETIRED)

    @invariant()
    def no_day_of_a_thing_is_accounted_for_twice(self) -> None:
        """Loans of one thing may touch on a day, since a return and a loan can share it, but never overlap."""
        query = select(LoanPart.label, Loan.out_on, Loan.back_on).join(Loan, LoanPart.loan_id == Loan.id)
        with self.database.read() as session:
            rows = sorted(
                (label, out, back or self.now.date()) for label, out, back in session.execute(query).all()
            )
            kits_out = session.scalars(
                select(Kit.name).join(Loan, Loan.kit_id == Kit.id).where(Loan.back_on.is_(None))
            )
            assert set(kits_out) == set(self.by_kit)
        for (one, _, back), (other, out, _) in pairwise(rows):
            assert one != other or back <= out

    def teardown(self) -> None:
        self.database.close()
        with suppress(OSError):
            shutil.rmtree(self.folder)


def test_every_thing_is_in_exactly_one_place_after_any_sequence(
    sqlite_template: Path, tmp_path: Path
) -> None:
    path = Path(shutil.copy(sqlite_template, tmp_path / "club.db"))
    database = Database(make_engine(str(path)), str(path))
    for member in MEMBERS:
        add(database, "member", member, {}, FIRST)
    for thing in THINGS:
        add(database, "eyepiece", thing, {}, FIRST)
    for kit, parts in KITS.items():
        add_kit(database, kit, parts, FIRST)
    database.close()

    class Filled(StoreRoom):
        template = path

    quick = settings(
        max_examples=25,
        stateful_step_count=20,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
    )
    run_state_machine_as_test(Filled, settings=quick)
