"""A member made nameless on one laptop is so on the others, whoever hears of it in whatever order."""

import shutil
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from itertools import permutations
from pathlib import Path

import pytest
from sqlalchemy import select

from obslog.club.register.contacts import set_contact
from obslog.club.register.leaving_members import leave
from obslog.club.register.named_records import add, edit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.together.deciding import list_conflicts
from obslog.club.together.merging import Merged, merge_bundles
from obslog.club.together.writing import WhatToTell, write_bundle_to
from obslog.records.engine import make_engine
from obslog.records.opening import Database
from obslog.records.redaction import every_image
from obslog.records.tables.logbook import Act
from obslog.records.tables.schema import metadata
from tests.club.together.conftest import Give, named, rows

NAME, LATER_NAME, PHONE = "Zora Kettlewell", "Zora Amberley", "0551 2345678"
TRACES = ("Zora", "Kettlewell", "Amberley", "2345678", "plays the lute")


def traces(database: Database) -> set[str]:
    """Where anything of the member is left: tables and columns, acts, images."""
    found: set[str] = set()
    with database.read() as session:
        for table in metadata.sorted_tables:
            for row in session.execute(select(table)).mappings():
                for column, value in row.items():
                    if isinstance(value, str) and any(one.casefold() in value.casefold() for one in TRACES):
                        found.add(f"{table.name}.{column}: {value}")
        for act, kind, *images in every_image(session):
            for image in images:
                for value in image.values():
                    if isinstance(value, str) and any(one in value for one in TRACES):
                        found.add(f"image of {kind} in {session.get_one(Act, act).sentence}: {value}")
    return found


@pytest.fixture
def third(club_file: Path, tmp_path: Path) -> Iterator[Database]:
    path = shutil.copy(club_file, tmp_path / "third.db")
    database = Database(make_engine(str(path)), str(path))
    yield database
    database.close()


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
    leave(known_to_all, NAME, later, also_texts=True)
    assert traces(known_to_all) == set()
    assert list_conflicts(known_to_all).fields == []


def test_who_merges_it_forgets_them_in_rows_and_history(
    known_to_all: Database, there: Database, give: Give, later: datetime
) -> None:
    assert traces(there)
    leave(known_to_all, NAME, later, also_texts=True)
    merged = give(known_to_all, there)
    assert merged.forgotten == ["Former member 1"]
    assert merged.copies == [merged.copy]
    assert traces(there) == set()
    assert "Former member 1" in named(there, "members")
    assert rows(there) == rows(known_to_all)
    assert list_conflicts(there).fields == []
    assert b"Kettlewell" not in Path(there.where).read_bytes()
    assert give(known_to_all, there).forgotten == []


def test_a_look_forgets_nobody(known_to_all: Database, there: Database, give: Give, later: datetime) -> None:
    leave(known_to_all, NAME, later)
    before = traces(there)
    assert give(known_to_all, there, only_look=True).forgotten == ["Former member 1"]
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
    leave(known_to_all, NAME, later, also_texts=True)
    paths = [older, bundle(there, "not-heard"), bundle(known_to_all, "forgotten")]
    database = {"here": known_to_all, "there": there, "third": third}[target]
    for number in order:
        merge_bundles(database, [paths[number]], later)
    assert traces(database) == set()
    merge_bundles(database, [paths[number] for number in order], later)
    assert traces(database) == set()
    assert "Former member 1" in named(database, "members")
    again = bundle(database, "handed-on")
    for path in (again, *paths):
        merge_bundles(third, [path], later)
    assert traces(third) == set()
    merge_bundles(database, [bundle(third, "back")], later)
    assert rows(third) == rows(database)


def test_one_who_never_knew_them_learns_nothing(
    known_to_all: Database, bundle: Moved, tmp_path: Path, club_file: Path, later: datetime
) -> None:
    older = bundle(known_to_all, "older")
    leave(known_to_all, NAME, later, also_texts=True)
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
