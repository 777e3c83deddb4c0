"""Rows that change places: nothing is refused in between, whoever takes whose place."""

from typing import Any

import pytest
from sqlalchemy.orm import Session

from obslog.records.database import Database
from obslog.records.merging.kinds import kinds
from obslog.records.merging.row_images import all_rows, insert_images
from obslog.records.merging.row_writing import write_rows
from obslog.records.tables.keys import new_keys_as_text
from tests.records.merging.laptops import BEGUN

Rows = dict[tuple[str, str], dict[str, Any] | None]


def named(kind: str, key: str, name: str) -> Rows:
    return {(kind, key): {"id": key, "name": name, "name_key": name.lower()}}


def now(session: Session, rows: Rows) -> Rows:
    """The same records as they are in their tables."""
    return {(kind, key): all_rows(session, kinds()[kind]).get(key) for kind, key in rows}


def change(database: Database, before: Rows, after: Rows) -> Rows:
    with database.write(BEGUN) as session:
        for kind in sorted({kind for kind, _key in before}, key=lambda name: kinds()[name].order):
            insert_images(
                session, kinds()[kind], [row for (one, _), row in before.items() if one == kind and row]
            )
        both = before | after
        write_rows(session, kinds(), now(session, both), {key: _whole(key, row) for key, row in both.items()})
        return {key: row for key, row in now(session, both).items() if row is not None}


def _whole(key: tuple[str, str], row: dict[str, Any] | None) -> dict[str, Any] | None:
    from obslog.records.merging.checks import defaults

    if row is None:
        return None
    return {
        name: row.get(name, value)
        for name, value in defaults(kinds()[key[0]]).items()
        if name != "search_text"
    }


def test_two_can_change_names_with_each_other(database: Database) -> None:
    one, two = new_keys_as_text(2)
    before = named("Member", one, "Anna") | named("Member", two, "Berta")
    after = named("Member", one, "Berta") | named("Member", two, "Anna")
    assert {key[1]: row["name"] for key, row in change(database, before, after).items() if row} == {
        one: "Berta",
        two: "Anna",
    }


@pytest.fixture
def night() -> tuple[list[str], Rows]:
    """A night with two set-ups of a mount, and the keys of all that is in it."""
    site, first, second, mount, one, two = keys = new_keys_as_text(6)
    rows = named("Site", site, "Hut") | named("Mount", mount, "Heron")
    rows["Mount", mount] = {**(rows["Mount", mount] or {}), "kind": "mount", "refraction": 0}
    rows["Night", second] = {"id": second, "site_id": site, "night_of": "2026-03-02", "open": 0}
    for number, key in ((1, one), (2, two)):
        rows["Setup", key] = {"id": key, "night_id": second, "mount_id": mount, "ordinal": number, "open": 0}
    return [*keys, first], rows


def test_a_night_gives_way_to_another_with_all_that_is_in_it(
    database: Database, night: tuple[list[str], Rows]
) -> None:
    (site, first, second, _mount, one, two, _), before = night
    after: Rows = dict(before)
    after["Night", second] = None
    after["Night", first] = {"id": first, "site_id": site, "night_of": "2026-03-02", "open": 0}
    for key, number in ((one, 2), (two, 1)):
        after["Setup", key] = {**(before["Setup", key] or {}), "night_id": first, "ordinal": number}
    rows = change(database, before, after)
    assert [key for kind, key in rows if kind == "Night"] == [first]
    told = {
        key: (row["night_id"], row["ordinal"]) for (kind, key), row in rows.items() if kind == "Setup" and row
    }
    assert told == {one: (first, 2), two: (first, 1)}


def test_whatever_belongs_to_what_goes_can_go_with_it(
    database: Database, night: tuple[list[str], Rows]
) -> None:
    _keys, before = night
    gone: Rows = {key: None if key[0] in ("Night", "Setup") else row for key, row in before.items()}
    assert {kind for kind, _key in change(database, before, gone)} == {"Site", "Mount"}
