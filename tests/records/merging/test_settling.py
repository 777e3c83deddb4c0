"""Rows made of what the log says: cases that the random histories came upon, and the rules that a merge lives by."""

import random
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import pytest
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from obslog.records.merging import obstacles
from obslog.records.merging.kinds import kinds
from obslog.records.merging.settling import settle
from obslog.records.merging.standing import Aside, Why
from obslog.records.tables.base import name_key
from obslog.records.tables.column_types import key_of
from obslog.records.tables.kept import parked_records, record_obstacles
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.lending import Loan
from obslog.records.tables.logbook import SameRecord
from obslog.records.tables.logbook_tables import Attendance, Item, Member, Mount, Night, Setup, Site
from tests.records.merging.laptops import BEGUN, Laptop
from tests.records.merging.whole_log import Whole, entries_of_all

Make = Callable[[int], list[Laptop]]


def the(session: Session, kind: type[Any], **values: Any) -> Any:
    query = select(kind)
    for name, value in values.items():
        query = query.where(getattr(kind, name) == value)
    return session.scalars(query).one()


def check(laptop: Laptop) -> None:
    with laptop.database.read() as session:
        whole = Whole(entries_of_all(session))
    assert laptop.rows() == whole.rows
    assert laptop.asides() == whole.asides


def test_all_rows_can_be_made_anew_from_the_log(some_laptops: Make) -> None:
    one, two = some_laptops(2)
    for laptop in (one, two):
        for _ in range(40):
            laptop.something()
    one.take_from(two)
    before, asides = one.rows(), one.asides()
    with one.database.write(one.now) as session:
        session.execute(delete(record_obstacles))
        session.execute(delete(parked_records))
        settle(session, entries_of_all(session))
    assert one.rows() == before
    assert one.asides() == asides


def test_settling_what_is_settled_changes_nothing(some_laptops: Make) -> None:
    (one,) = some_laptops(1)
    for _ in range(30):
        one.something()
    with one.database.write(one.now) as session:
        done = settle(session, entries_of_all(session))
    assert done.before == done.after
    assert done.asides == {}


def test_who_joined_two_members_gives_the_one_what_comes_later_for_the_other(some_laptops: Make) -> None:
    one, two = some_laptops(2)

    def join(session: Session) -> None:
        ines, bram = the(session, Member, name="Ines"), the(session, Member, name="Bram")
        session.delete(bram)
        session.add(SameRecord(record_kind="Member", gone_id=bram.id, kept_id=ines.id))

    def attend(session: Session) -> None:
        site, bram = the(session, Site, name="Mill"), the(session, Member, name="Bram")
        night = Night(site_id=site.id, night_of=BEGUN.date())
        session.add(night)
        session.flush()
        session.add(Attendance(night_id=night.id, member_id=bram.id))

    one.do(join)
    two.do(attend)
    one.take_from(two)
    with one.database.read() as session:
        assert the(session, Attendance).member_id == the(session, Member, name="Ines").id
    check(one)


def test_two_who_joined_the_same_two_the_other_way_round_keep_one(some_laptops: Make) -> None:
    one, two = some_laptops(2)

    def join(stays: str, goes: str) -> Callable[[Session], None]:
        def work(session: Session) -> None:
            kept, gone = the(session, Member, name=stays), the(session, Member, name=goes)
            session.delete(gone)
            session.add(SameRecord(record_kind="Member", gone_id=gone.id, kept_id=kept.id))

        return work

    with one.database.read() as session:
        first = min(session.scalars(select(Member.id)))
    one.do(join("Ines", "Bram"))
    two.do(join("Bram", "Ines"))
    one.take_from(two)
    two.take_from(one)
    for laptop in (one, two):
        with laptop.database.read() as session:
            assert session.scalars(select(Member.id)).all() == [first]
        check(laptop)


def test_what_waits_goes_on_waiting_for_what_is_taken_away_besides(some_laptops: Make) -> None:
    one, two = some_laptops(2)

    def lend(session: Session, member: str) -> None:
        item = the(session, Item, name="Case")
        borrower = the(session, Member, name=member)
        day = BEGUN.date()
        session.add(Loan(member_id=borrower.id, equipment_id=item.id, out_on=day, due_on=day))

    def remove_bram(session: Session) -> None:
        session.delete(the(session, Member, name="Bram"))

    one.do(lambda session: lend(session, "Ines"))
    two.do(lambda session: lend(session, "Bram"))
    one.take_from(two)
    assert {aside.why for _kind, _key, aside in one.asides()} == {Why.TAKEN}
    one.do(remove_bram)  # of a loan that waits the tables know nothing
    assert {aside.why for _kind, _key, aside in one.asides()} == {Why.WAITS}
    check(one)


def test_a_set_up_that_moved_to_the_other_night_follows_it(some_laptops: Make) -> None:
    one, two = some_laptops(2)

    def set_up(session: Session) -> None:
        night = Night(site_id=the(session, Site, name="Mill").id, night_of=BEGUN.date())
        session.add(night)
        session.flush()
        session.add(Setup(night_id=night.id, mount_id=the(session, Mount).id, started_utc=BEGUN))

    one.do(set_up)
    two.do(set_up)
    two.take_from(one)
    with two.database.read() as session:
        night = the(session, Night)
        setups = session.scalars(select(Setup).order_by(Setup.ordinal)).all()
        assert [setup.ordinal for setup in setups] == [1, 2]
        assert {setup.night_id for setup in setups} == {night.id}
        assert obstacles.any_obstacle(session)
    check(two)


def test_a_name_is_given_back_when_the_first_is_removed(some_laptops: Make) -> None:
    one, two = some_laptops(2)
    for laptop in (one, two):
        laptop.do(lambda session: session.add(Item(name="Lens", name_key=name_key("Lens"))))
    two.take_from(one)
    with two.database.read() as session:
        names = sorted(session.scalars(select(Item.name).where(Item.name.like("Lens%"))))
    assert len(names) == 2
    two.do(lambda session: session.delete(the(session, Item, name="Lens")))
    with two.database.read() as session:
        assert session.scalars(select(Item.name).where(Item.name.like("Lens%"))).all() == ["Lens"]
    assert kinds()["Item"].has_name
    check(two)


def loan(session: Session, key: str, item: str = "Case", **values: Any) -> None:
    member, what = the(session, Member, name="Ines"), the(session, Item, name=item)
    made = Loan(member_id=member.id, equipment_id=what.id, out_on=BEGUN.date(), due_on=BEGUN.date(), **values)
    made.id = key_of(key)
    session.add(made)
    session.flush()


def test_a_loan_stands_behind_the_one_before_it_whose_key_is_later(some_laptops: Make) -> None:
    """The clock of the laptop was put right between the two, and the second loan's key is the smaller one."""
    one, two, three = some_laptops(3)
    second, first = new_keys_as_text(2)
    two.do(lambda session: loan(session, first, back_on=BEGUN.date()))
    one.take_from(two)
    two.do(lambda session: loan(session, second, handed_over_from_id=key_of(first)))
    for laptop in (one, three):  # one knows the first already, the other hears of both at once
        laptop.take_from(two)
        assert laptop.rows() == two.rows()
        assert laptop.asides() == set()
        check(laptop)
    two.do(lambda session: session.delete(session.get(Loan, key_of(second))))
    two.do(lambda session: session.delete(session.get(Loan, key_of(first))))
    one.take_from(two)
    assert one.rows() == two.rows()
    check(one)


def test_of_two_that_are_out_at_once_the_one_handed_over_by_a_later_one_waits(some_laptops: Make) -> None:
    """It comes behind what it refers to, and so behind the other, though its own key is the smaller."""
    one, two = some_laptops(2)
    handed_on, other, first = new_keys_as_text(3)
    one.do(lambda session: loan(session, other))
    two.do(lambda session: loan(session, first, back_on=BEGUN.date()))
    two.do(lambda session: loan(session, handed_on, handed_over_from_id=key_of(first)))
    one.take_from(two)
    two.take_from(one)
    assert one.asides() == two.asides() == {("Loan", handed_on, Aside(Why.TAKEN, other))}
    assert one.rows() == two.rows()
    check(one)


def those_before(session: Session, last: Loan | None) -> Iterator[str]:
    """The loan's key, and those of all before it."""
    while last is not None:
        yield str(last.id)
        last = session.get(Loan, last.handed_over_from_id) if last.handed_over_from_id else None


@pytest.mark.parametrize("seed", range(8))
def test_loans_that_refer_to_each_other_come_out_alike_on_all_laptops(some_laptops: Make, seed: int) -> None:
    """Also where they refer to each other in a circle, which two make who have not seen each other."""
    one, two = some_laptops(2)
    chance, keys = random.Random(seed), new_keys_as_text(6)

    def something(session: Session, own: list[str]) -> None:
        key = chance.choice(keys)
        there = session.get(Loan, key_of(key))
        loans = session.scalars(select(Loan).order_by(Loan.id)).all()
        before = chance.choice([None, *(one.id for one in loans if key not in those_before(session, one))])
        back_on = chance.choice([None, BEGUN.date()])
        if there is None and key in own:
            loan(session, key, chance.choice(["Case", "Lamp"]), handed_over_from_id=before, back_on=back_on)
        elif there is not None and chance.random() < 0.2:
            session.delete(there)
        elif there is not None:
            there.handed_over_from_id, there.back_on = before, back_on

    for _ in range(6):
        for laptop, own in ((one, keys[::2]), (two, keys[1::2])):
            for _ in range(4):
                laptop.do(partial(something, own=own))
        one.take_from(two)
        check(one)
        two.take_from(one)
        assert two.rows() == one.rows()
        assert two.asides() == one.asides()
