"""Rows as images on either database: what goes in comes out, with all that is searched and counted."""

from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import select

from obslog.records.database import Database
from obslog.records.merging.kinds import kinds
from obslog.records.merging.row_images import (
    all_rows,
    by_many,
    columns_between,
    delete_rows,
    holders,
    ids_there,
    insert_images,
    keys_held,
    referring_ids,
    rows_of,
    update_images,
)
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook_tables import Night
from obslog.records.tables.officer import Stocktake
from tests.records.merging.laptops import BEGUN

SITE, NIGHT, MOUNT = kinds()["Site"], kinds()["Night"], kinds()["Mount"]


@pytest.fixture
def images() -> dict[str, Any]:
    site, night, mount = new_keys_as_text(3)
    return {
        "site": {"id": site, "name": "Hut", "name_key": "hut", "lat_deg": 51.5, "private": 1},
        "night": {
            "id": night, "site_id": site, "night_of": "2026-03-02", "open": 0, "note": "Träge",
            "started_utc": "2026-03-02T20:00:00.000000Z",
        },
        "mount": {"id": mount, "name": "Heron", "name_key": "heron", "kind": "mount", "refraction": 1},
    }  # fmt: skip


def put(database: Database, images: dict[str, Any]) -> None:
    with database.write(BEGUN) as session:
        for kind, name in ((SITE, "site"), (NIGHT, "night"), (MOUNT, "mount")):
            insert_images(session, kind, [images[name]])


def test_what_goes_in_comes_out(database: Database, images: dict[str, Any]) -> None:
    put(database, images)
    with database.read() as session:
        for kind, name in ((SITE, "site"), (NIGHT, "night"), (MOUNT, "mount")):
            image = images[name]
            (row,) = rows_of(session, kind, [image["id"]]).values()
            assert {key: row[key] for key in image} == image
            assert all(value is None for key, value in row.items() if key not in image)
            assert all_rows(session, kind) == {image["id"]: row}
            names, between = columns_between(session, kind, image["id"], image["id"])
            assert [dict(zip(names, values, strict=True)) for values in between] == [row]
        assert session.scalar(select(Night.search_text)) == "trage"


def test_rows_are_found_by_what_they_hold_and_refer_to(database: Database, images: dict[str, Any]) -> None:
    put(database, images)
    site, night = images["site"]["id"], images["night"]["id"]
    (once,) = NIGHT.once
    key = (site, "2026-03-02")
    with database.read() as session:
        assert holders(session, NIGHT, once, key) == [night]
        assert holders(session, NIGHT, once, (site, "2026-03-03")) == []
        assert keys_held(session, NIGHT, once, [site]) == {key}
        assert referring_ids(session, SITE, [site]) == {("Night", night)}
        assert ids_there(session, SITE, [site, night]) == {site}
        assert ids_there(session, SITE, [site, *new_keys_as_text(1200)]) == {site}


def test_of_what_may_be_open_once_an_open_row_holds_it_whatever_it_says(
    database: Database, now: datetime
) -> None:
    stocktake = kinds()["Stocktake"]
    (once,) = stocktake.once
    with database.write(now) as session:
        session.add(Stocktake(started_on=now.date(), finished_on=now.date()))
        session.flush()
        assert (holders(session, stocktake, once, ()), keys_held(session, stocktake, once, set())) == (
            [],
            set(),
        )
        row = Stocktake(started_on=now.date())
        session.add(row)
        session.flush()
        assert holders(session, stocktake, once, ()) == [str(row.id)]
        assert keys_held(session, stocktake, once, set()) == {()}


def test_rows_are_changed_and_taken_away_in_each_of_their_tables(
    database: Database, images: dict[str, Any]
) -> None:
    put(database, images)
    with database.write(BEGUN) as session:
        update_images(session, NIGHT, [{**images["night"], "note": "Später", "open": 1}])
        update_images(session, MOUNT, [{**images["mount"], "name": "Heron II", "mount_type": "german"}])
        (night,) = all_rows(session, NIGHT).values()
        (mount,) = all_rows(session, MOUNT).values()
        assert (night["note"], night["open"]) == ("Später", 1)
        assert session.scalar(select(Night.search_text)) == "spater"
        assert (mount["name"], mount["mount_type"]) == ("Heron II", "german")
        delete_rows(session, MOUNT, [mount["id"]])
        assert all_rows(session, MOUNT) == {}


def test_values_come_in_lists_of_what_a_query_takes() -> None:
    assert [len(some) for some in by_many(range(1001))] == [500, 500, 1]
