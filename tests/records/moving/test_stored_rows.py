"""Rows come in the order of their keys, in the form in which SQLite stores them, from either database."""

from datetime import UTC, datetime
from typing import Any

import pytest

from obslog.club.night.nights import start_night
from obslog.records.database import Database
from obslog.records.moving import stored_rows as module
from obslog.records.moving.stored_rows import (
    count_rows,
    last_key,
    own_references,
    stored_rows,
    tables_to_move,
    without_later,
)
from obslog.records.tables.schema import metadata

DUSK = datetime(2026, 3, 2, 19, 40, tzinfo=UTC)
MEMBERS = metadata.tables["members"]


def test_each_table_comes_after_those_that_it_refers_to() -> None:
    names = [table.name for table in tables_to_move()]
    for table in tables_to_move():
        for key in table.foreign_keys:
            if key.column.table is not table:
                assert names.index(key.column.table.name) < names.index(table.name)


def test_what_is_made_again_from_the_rest_stays_where_it_is() -> None:
    names = {table.name for table in tables_to_move()}
    assert {"kept_results", "mount_changes"}.isdisjoint(names)
    assert {"arrivals", "acts", "changes", "loans", "contacts"} <= names


def test_a_loan_that_was_handed_over_refers_to_another_loan() -> None:
    assert own_references(metadata.tables["loans"]) == ["handed_over_from_id"]
    assert own_references(metadata.tables["acts"]) == ["undoes_id"]
    assert own_references(metadata.tables["arrivals"]) == []


def test_before_all_are_there_a_row_refers_to_earlier_ones_of_its_table_alone() -> None:
    loans = metadata.tables["loans"]
    names = loans.columns.keys()

    def loan(key: str, before: str | None) -> tuple[str | None, ...]:
        told = {"id": key, "handed_over_from_id": before, "note": "z"}
        return tuple(told.get(name) for name in names)

    rows = [loan("a", "b"), loan("b", None), loan("c", "a"), loan("d", "d")]
    assert without_later(loans, rows) == [loan("a", None), *rows[1:]]


def test_keys_dates_and_truths_are_as_sqlite_stores_them(club: Database) -> None:
    start_night(club, "Mill Field", DUSK)
    with club.engine.begin() as connection:
        (night,) = (row for rows in stored_rows(connection, metadata.tables["nights"]) for row in rows)
    told: dict[str, Any] = dict(zip(metadata.tables["nights"].columns.keys(), night, strict=True))
    assert isinstance(told["id"], str)
    assert (told["night_of"], told["open"]) == ("2026-03-02", 1)
    assert told["started_utc"] == "2026-03-02T19:40:00.000000Z"


@pytest.mark.parametrize("batch", [1, 2, 100])
def test_from_behind_a_key_on_only_the_rest_comes(
    club: Database, monkeypatch: pytest.MonkeyPatch, batch: int
) -> None:
    monkeypatch.setattr(module, "BATCH", batch)
    with club.engine.begin() as connection:
        every = [row[0] for rows in stored_rows(connection, MEMBERS) for row in rows]
        assert every == sorted(every)
        assert len(every) == count_rows(connection, MEMBERS) == 2
        rest = [row[0] for rows in stored_rows(connection, MEMBERS, every[0]) for row in rows]
        assert rest == every[1:]
        assert last_key(connection, MEMBERS) == every[-1]
        assert count_rows(connection, MEMBERS, every[0]) == 1
        assert last_key(connection, metadata.tables["loans"]) is None
