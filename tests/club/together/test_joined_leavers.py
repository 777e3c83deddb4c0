"""Two spellings of a member are made one on one laptop, and one of the two leaves on another."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.office.joining import HasNoNameAnyMore
from obslog.club.privacy.leaving_members import leave
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit, shown
from obslog.club.register.undo import undo
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.together.contradictions import Conflicts, list_conflicts
from obslog.club.together.deciding import drop
from obslog.club.together.references import NothingToDrop
from obslog.club.together.sameness import make_same
from obslog.club.together.writing import WhatToTell
from obslog.records.database import Database
from obslog.records.tables.logbook import Act
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.storeroom import Contact
from obslog.records.undoing.undo_errors import NotOneToUndo
from tests.club.together.conftest import Give, named, newest_act, rows
from tests.club.together.traces import LATER_NAME, NAME, PHONE, traces

TEXT_WITHOUT_BOTH = "Former member has the manual, Former member the key"
NOTHING = Conflicts(fields=[], to_settle=[])
BOTH_WAYS = [(NAME, LATER_NAME), (LATER_NAME, NAME)]


@pytest.fixture
def two_spellings(here: Database, there: Database, give: Give, now: datetime) -> Database:
    """Each with a note and a loan that is back, and both named in a text."""
    for name, thing in ((NAME, "Stop 20"), (LATER_NAME, "Lead battery")):
        add(here, "member", name, {"note": "plays the lute"}, now)
        lend(here, thing, name, now)
        take_back(here, thing, now, by="Ines")
    edit(here, "mount", "Heron", {"note": f"{NAME} has the manual, {LATER_NAME} the key"}, now)
    give(here, there)
    return here


def exchange(give: Give, *laptops: Database) -> None:
    """Until each has heard of all."""
    for _ in range(2):
        for source in laptops:
            for target in laptops:
                if source is not target:
                    give(source, target)


def joined(database: Database, kept: str, other: str, now: datetime) -> str:
    """The reference of the act that made the two one."""
    make_same(database, kept, other, now, sure=True)
    return newest_act(database)


@pytest.mark.parametrize("joined_last", [False, True])
@pytest.mark.parametrize(("kept", "other"), BOTH_WAYS)
def test_who_was_kept_leaves_and_nothing_of_either_spelling_is_left(
    two_spellings: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime,
    kept: str, other: str, joined_last: bool,
) -> None:  # fmt: skip
    when_left, when_joined = (now, later) if joined_last else (later, now)
    left = leave(there, kept, when_left).name
    joined(two_spellings, kept, other, when_joined)
    exchange(give, two_spellings, there, third)
    for one in (two_spellings, there, third):
        assert traces(one) == set()
        assert rows(one) == rows(there)
        assert named(one, "members") == ["Bram Ostler", left, "Ines"]
        assert list_conflicts(one) == NOTHING


@pytest.mark.parametrize("joined_last", [False, True])
@pytest.mark.parametrize(("kept", "other"), BOTH_WAYS)
def test_who_went_over_to_another_name_and_left_is_asked_about(
    two_spellings: Database, there: Database, give: Give, now: datetime, later: datetime,
    kept: str, other: str, joined_last: bool,
) -> None:  # fmt: skip
    """Whether the two are one only people know, so the other name stays until they say so."""
    when_left, when_joined = (now, later) if joined_last else (later, now)
    left = leave(there, other, when_left).name
    joining = joined(two_spellings, kept, other, when_joined)
    exchange(give, two_spellings, there)
    assert rows(two_spellings) == rows(there)
    for one in (two_spellings, there):
        assert other not in str(traces(one))
        assert list_conflicts(one).fields == []
        (asked,) = list_conflicts(one).to_settle
        assert (asked.kind, asked.why, asked.what, asked.beside) == ("member", "left", left, kept)
        assert asked.sentence == f"{left} left, and was made one with {kept}, who is on record by name."
        assert asked.settle == (
            f'If they are one: obslog member leave "{kept}". If two: obslog undo {joining}'
        )
        with pytest.raises(NothingToDrop):
            drop(one, asked.reference, later)


def test_who_left_by_the_first_of_three_spellings_is_asked_about_by_the_last(
    two_spellings: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    """Three laptops know a piece each: that the first is the second, that the second is the third, who left."""
    give(two_spellings, third)
    joined(two_spellings, NAME, LATER_NAME, now)
    joined(there, "Ines", NAME, now)
    left = leave(third, LATER_NAME, later).name
    exchange(give, two_spellings, there, third)
    for one in (two_spellings, there, third):
        assert rows(one) == rows(third)
        (asked,) = list_conflicts(one).to_settle
        assert (asked.what, asked.beside) == (left, "Ines")
    leave(there, "Ines", later + timedelta(minutes=1))
    exchange(give, two_spellings, there, third)
    for one in (two_spellings, there, third):
        assert traces(one) == set()
        assert list_conflicts(one) == NOTHING
        assert rows(one) == rows(third)


@pytest.mark.parametrize("decides", ["here", "there"])
def test_one_person_leaves_by_the_other_name_too(
    two_spellings: Database, there: Database, give: Give, now: datetime, later: datetime, decides: str
) -> None:
    leave(there, LATER_NAME, later)
    joined(two_spellings, NAME, LATER_NAME, now)
    exchange(give, two_spellings, there)
    leave({"here": two_spellings, "there": there}[decides], NAME, later + timedelta(minutes=1))
    exchange(give, two_spellings, there)
    assert rows(two_spellings) == rows(there)
    for one in (two_spellings, there):
        assert traces(one) == set()
        assert list_conflicts(one) == NOTHING


@pytest.mark.parametrize("decides", ["here", "there"])
def test_of_two_people_the_one_has_left_and_the_other_stays_with_what_is_theirs(
    two_spellings: Database, there: Database, give: Give, now: datetime, later: datetime, decides: str
) -> None:
    left = leave(there, LATER_NAME, later).name
    joining = joined(two_spellings, NAME, LATER_NAME, now)
    exchange(give, two_spellings, there)
    undo({"here": two_spellings, "there": there}[decides], later + timedelta(minutes=1), joining)
    exchange(give, two_spellings, there)
    assert rows(two_spellings) == rows(there)
    for one in (two_spellings, there):
        assert "Amberley" not in str(traces(one))
        assert named(one, "members") == ["Bram Ostler", left, "Ines", NAME]
        assert list_conflicts(one) == NOTHING
        with one.read() as session:
            notes = {row.name: row.note for row in session.execute(select(Member.name, Member.note))}
        assert (notes[left], notes[NAME]) == (None, "plays the lute")


@pytest.mark.parametrize("decides", ["here", "there"])
def test_a_spelling_of_one_who_left_does_not_come_back_without_a_name(
    two_spellings: Database, there: Database, give: Give, now: datetime, later: datetime, decides: str
) -> None:
    joining = joined(two_spellings, NAME, LATER_NAME, now)
    leave(there, NAME, later)
    exchange(give, two_spellings, there)
    laptop = {"here": two_spellings, "there": there}[decides]
    with pytest.raises(NotOneToUndo):
        undo(laptop, later + timedelta(minutes=1), joining)
    assert traces(laptop) == set()


def test_who_was_told_apart_again_where_nobody_had_heard_of_the_leaving_stays(
    two_spellings: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    """The one laptop had heard of the joining, and forgot both spellings; the other then said that they are two.

    The text that named both loses both names on either laptop: what one took out goes out of the other.
    """
    joining = joined(two_spellings, NAME, LATER_NAME, now)
    give(two_spellings, there)
    left = leave(there, NAME, later).name
    assert traces(there) == set()
    undo(two_spellings, later + timedelta(minutes=1), joining)
    exchange(give, two_spellings, there)
    assert rows(two_spellings) == rows(there)
    for one in (two_spellings, there):
        assert shown(one, "mount", "Heron")["note"] == TEXT_WITHOUT_BOTH
    for one in (two_spellings, there):
        assert "Kettlewell" not in str(traces(one))
        assert named(one, "members") == ["Bram Ostler", left, "Ines", LATER_NAME]
        assert list_conflicts(one) == NOTHING


def test_how_one_was_reached_who_went_over_to_another_name_is_forgotten_where_it_had_gone_too(
    two_spellings: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    set_contact(two_spellings, LATER_NAME, {"phone": PHONE}, now)
    give(two_spellings, there, WhatToTell(with_private=True))
    joined(two_spellings, NAME, LATER_NAME, now)
    leave(there, LATER_NAME, later)
    exchange(give, two_spellings, there)
    for one in (two_spellings, there):
        with one.read() as session:
            assert session.scalars(select(Contact)).all() == []
        assert "2345678" not in str(traces(one))


def test_so_it_is_also_of_what_was_written_of_it_where_it_had_gone(
    two_spellings: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    set_contact(two_spellings, LATER_NAME, {"phone": PHONE}, now)
    joined(two_spellings, NAME, LATER_NAME, now)
    set_contact(two_spellings, NAME, {"phone": "0551 7654321", "email": "z@example.org"}, now)
    leave(there, LATER_NAME, later)
    with_all = WhatToTell(with_private=True)
    give(two_spellings, third, with_all)
    for source, target in ((there, two_spellings), (third, there), (there, third), (two_spellings, there)):
        give(source, target, with_all)
    for one in (two_spellings, there, third):
        with one.read() as session:
            assert session.scalars(select(Contact)).all() == []
        assert "2345678" not in str(traces(one))


def test_how_somebody_is_reached_who_was_taken_for_the_leaver_stays(
    two_spellings: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    with_all = WhatToTell(with_private=True)
    set_contact(two_spellings, NAME, {"phone": "0551 7654321"}, now)
    give(two_spellings, third, with_all)
    joining = joined(two_spellings, LATER_NAME, NAME, now)
    undo(two_spellings, now, joining)
    leave(there, LATER_NAME, later)
    for source, target in ((there, two_spellings), (two_spellings, there), (there, third)):
        give(source, target, with_all)
    for one in (two_spellings, there, third):
        assert rows(one) == rows(third)
        with one.read() as session:
            assert [contact.phone for contact in session.scalars(select(Contact))] == ["0551 7654321"]


def test_what_an_act_says_of_somebody_taken_for_the_leaver_is_the_same_however_it_is_heard(
    two_spellings: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    joining = joined(two_spellings, LATER_NAME, "Ines", now)
    give(two_spellings, third)
    undo(two_spellings, now, joining)
    leave(there, LATER_NAME, later)
    give(there, two_spellings)
    give(two_spellings, third)  # which hears at once who left, and that the joining was taken back
    said = {sentence for one in (two_spellings, third) for sentence in _joinings(one)}
    assert said == {"join Ines to Former member", "undo: join Ines to Former member"}


def test_where_each_of_two_was_made_the_other_both_are_forgotten_with_the_one(
    two_spellings: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    give(two_spellings, third)
    joined(two_spellings, NAME, LATER_NAME, now)
    joined(there, LATER_NAME, NAME, now)
    give(there, two_spellings)  # here the first stands, there the second
    leave(third, LATER_NAME, later)
    exchange(give, third, two_spellings, there)
    for one in (two_spellings, there, third):
        assert rows(one) == rows(third)
        assert traces(one) == set()


@pytest.mark.parametrize("names", [(0, 1), (1, 0)])
def test_who_has_left_is_made_one_with_nobody(
    two_spellings: Database, later: datetime, names: tuple[int, int]
) -> None:
    both = (leave(two_spellings, NAME, later).name, LATER_NAME)
    with pytest.raises(HasNoNameAnyMore):
        make_same(two_spellings, both[names[0]], both[names[1]], later, sure=True)


def _joinings(database: Database) -> list[str]:
    with database.read() as session:
        return list(session.scalars(select(Act.sentence).where(Act.sentence.contains("join "))))
