"""A member made nameless on one laptop is so on the others, whoever hears of it in whatever order."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import permutations
from pathlib import Path

import pytest
from sqlalchemy import select

from obslog.club.privacy.leaving_members import leave
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit, shown
from obslog.club.register.undo import undo
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.together.contradictions import Conflicts, list_conflicts
from obslog.club.together.merged import Merged
from obslog.club.together.merging import merge_bundles
from obslog.club.together.sameness import make_same
from obslog.club.together.writing import WhatToTell, write_bundle_to
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.history.author import Author
from obslog.records.merging.obstacles import all_asides, parked_images
from obslog.records.tables.logbook_tables import Member
from tests.club.together.conftest import Give, named, newest_act, rows
from tests.club.together.traces import LATER_NAME, NAME, PHONE, traces


@pytest.fixture
def known_to_all(here: Database, there: Database, third: Database, give: Give, now: datetime) -> Database:
    """A member with a note, a contact and a loan that is back, of whom three laptops know."""
    add(here, "member", NAME, {"note": "plays the lute"}, now)
    set_contact(here, NAME, {"phone": PHONE}, now)
    lend(here, "Lead battery", NAME, now)
    take_back(here, "Lead battery", now, by="Ines")
    edit(here, "mount", "Heron", {"note": f"{NAME} has the manual"}, now)
    for other in (there, third):
        give(here, other, WhatToTell(with_private=True))
    return here


Moved = Callable[[Database, str], Path]


@pytest.fixture
def bundle(tmp_path: Path, later: datetime) -> Moved:
    def write(database: Database, called: str) -> Path:
        path = tmp_path / f"{called}.bundle"
        write_bundle_to(database, path, WhatToTell(with_private=True), later)
        return path

    return write


def work_of_who_has_not_heard(database: Database, now: datetime) -> None:
    """What a laptop does that does not know yet: a new name, a new note, another loan."""
    edit(
        database,
        "member",
        NAME,
        {"note": "plays the lute still"},
        now + timedelta(minutes=3),
        rename=LATER_NAME,
    )
    lend(database, "Stop 20", LATER_NAME, now + timedelta(minutes=4))
    take_back(database, "Stop 20", now + timedelta(minutes=5), by=LATER_NAME)


def test_nobody_contradicts_the_one_laptop_on_which_somebody_was_made_nameless(
    known_to_all: Database, later: datetime
) -> None:
    leave(known_to_all, NAME, later)
    assert traces(known_to_all) == set()
    assert list_conflicts(known_to_all).fields == []


def test_who_merges_it_forgets_them_in_rows_and_history(
    known_to_all: Database, there: Database, give: Give, later: datetime
) -> None:
    assert traces(there)
    left = leave(known_to_all, NAME, later)
    merged = give(known_to_all, there)
    assert merged.forgotten == [left.name]
    assert merged.copies == [merged.copy]
    assert traces(there) == set()
    assert left.name in named(there, "members")
    assert rows(there) == rows(known_to_all)
    assert list_conflicts(there).fields == []
    assert b"Kettlewell" not in Path(there.where).read_bytes()
    assert give(known_to_all, there).forgotten == []


def test_whom_two_laptops_made_nameless_is_one_member_of_one_name_on_both(
    known_to_all: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    leave(there, "Ines", now)
    leave(there, NAME, now)
    leave(known_to_all, NAME, later)
    give(known_to_all, there)
    give(there, known_to_all)
    assert rows(there) == rows(known_to_all)
    for one in (there, known_to_all):
        assert list_conflicts(one) == Conflicts(fields=[], to_settle=[])


def test_who_was_removed_where_nobody_had_heard_contradicts_nothing(
    known_to_all: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(known_to_all, "member", LATER_NAME, {"note": "plays the lute"}, now)
    give(known_to_all, there)
    leave(known_to_all, LATER_NAME, later)
    with there.write(later, "remove a member") as session:
        session.delete(session.scalars(select(Member).where(Member.name == LATER_NAME)).one())
    give(known_to_all, there)
    give(there, known_to_all)
    for one in (there, known_to_all):
        assert list_conflicts(one).fields == []


def test_a_spelling_that_was_joined_to_them_elsewhere_is_forgotten_once_that_is_heard(
    known_to_all: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(known_to_all, "member", LATER_NAME, {}, now)
    edit(known_to_all, "member", LATER_NAME, {"note": "plays the lute"}, now)
    give(known_to_all, there)
    make_same(there, NAME, LATER_NAME, now, sure=True)
    leave(known_to_all, NAME, later)
    assert traces(known_to_all)
    give(there, known_to_all)
    give(known_to_all, there)
    assert traces(known_to_all) == traces(there) == set()


def test_how_they_were_reached_is_forgotten_also_where_two_laptops_had_written_it_down(
    here: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    """The one that makes them nameless never heard of the other's contact, which a third has set aside."""
    add(here, "member", NAME, {}, now)
    give(here, there)
    for one, number in ((here, PHONE), (there, "0551 2222")):
        set_contact(one, NAME, {"phone": number}, now)
        give(one, third, WhatToTell(with_private=True))
    with third.read() as session:
        assert [kind for kind, _key, _aside in all_asides(session)] == ["Contact"]
    leave(here, NAME, later)
    give(here, third)
    with third.read() as session:
        assert all_asides(session) == []
        assert parked_images(session) == []
    assert rows(third) == rows(here)


def test_a_name_that_only_another_laptop_knew_goes_out_of_what_both_hold(
    known_to_all: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    edit(known_to_all, "mount", "Heron", {"note": f"greased by {LATER_NAME}"}, now)
    give(known_to_all, there)
    edit(there, "member", NAME, {}, now, rename=LATER_NAME)
    leave(known_to_all, NAME, later)
    give(known_to_all, there)
    assert traces(there) == set()
    assert traces(known_to_all)
    give(there, known_to_all)
    assert traces(known_to_all) == set()
    assert rows(there) == rows(known_to_all)


def test_who_comes_back_after_they_left_has_left(
    known_to_all: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    """Where nobody had heard of it, their coming is taken back; where they left, it is then done again."""
    add(known_to_all, "member", LATER_NAME, {}, now)
    coming = newest_act(known_to_all)
    give(known_to_all, there)
    left = leave(known_to_all, LATER_NAME, later).name
    undo(there, later, coming)
    taking_back = newest_act(there)
    give(there, known_to_all)
    assert left not in named(known_to_all, "members")
    undo(known_to_all, later, taking_back)
    give(known_to_all, there)
    assert rows(there) == rows(known_to_all)
    for one in (there, known_to_all):
        assert shown(one, "member", left)["retired_why"] == "left the club"
        assert list_conflicts(one) == Conflicts(fields=[], to_settle=[])


def test_a_look_forgets_nobody(known_to_all: Database, there: Database, give: Give, later: datetime) -> None:
    left = leave(known_to_all, NAME, later)
    before = traces(there)
    assert give(known_to_all, there, only_look=True).forgotten == [left.name]
    assert traces(there) == before


@pytest.mark.parametrize("order", list(permutations(range(3))))
@pytest.mark.parametrize("target", ["here", "there", "third"])
def test_no_bundle_brings_them_back_in_whatever_order(
    known_to_all: Database,
    there: Database,
    third: Database,
    bundle: Moved,
    now: datetime,
    later: datetime,
    order: tuple[int, ...],
    target: str,
) -> None:
    older = bundle(known_to_all, "older")
    work_of_who_has_not_heard(there, now)
    left = leave(known_to_all, NAME, later)
    paths = [older, bundle(there, "not-heard"), bundle(known_to_all, "forgotten")]
    database = {"here": known_to_all, "there": there, "third": third}[target]
    for number in order:
        merge_bundles(database, [paths[number]], later)
    assert traces(database) == set()
    merge_bundles(database, [paths[number] for number in order], later)
    assert traces(database) == set()
    assert left.name in named(database, "members")
    again = bundle(database, "handed-on")
    for path in (again, *paths):
        merge_bundles(third, [path], later)
    assert traces(third) == set()
    merge_bundles(database, [bundle(third, "back")], later)
    assert rows(third) == rows(database)


@pytest.mark.parametrize("typed", [NAME, "Zora", None])
def test_a_part_from_who_has_not_heard_names_nobody_to_one_who_never_knew_them(
    known_to_all: Database, there: Database, bundle: Moved, tmp_path: Path, club_file: Path, now: datetime,
    later: datetime, typed: str | None,
) -> None:  # fmt: skip
    bundle(there, "all")
    not_heard = replace(there, find_author=lambda: Author(who=typed))
    edit(not_heard, "mount", "Heron", {"note": f"{NAME} has the manual"}, now + timedelta(days=2))
    lend(not_heard, "Lead battery", NAME, now + timedelta(days=2))
    leave(known_to_all, NAME, later)
    part = tmp_path / "part.bundle"
    write_bundle_to(not_heard, part, WhatToTell(untold=True), later)
    stranger_path = shutil.copy(club_file, tmp_path / "stranger.db")
    stranger = Database(make_engine(str(stranger_path)), str(stranger_path))
    for path in (bundle(known_to_all, "forgotten"), part):
        merge_bundles(stranger, [path], later + timedelta(days=2))
    assert traces(stranger) == set()
    stranger.close()


def test_one_who_never_knew_them_learns_nothing(
    known_to_all: Database, bundle: Moved, tmp_path: Path, club_file: Path, later: datetime
) -> None:
    older = bundle(known_to_all, "older")
    leave(known_to_all, NAME, later)
    forgotten = bundle(known_to_all, "forgotten")
    for number, paths in enumerate(([older, forgotten], [forgotten, older])):
        path = shutil.copy(club_file, tmp_path / f"stranger{number}.db")
        stranger = Database(make_engine(str(path)), str(path))
        merged: Merged = merge_bundles(stranger, paths, later)
        assert merged.acts > 0
        assert traces(stranger) == set()
        for one in paths:
            merge_bundles(stranger, [one], later)
            assert traces(stranger) == set()
        stranger.close()
