"""The sheets follow the tables: whatever is on record goes, but for what is on a list with its reason."""

import pytest
from sqlalchemy import Column, Table

from obslog import fields
from obslog.club.whole_club.sheet_tables import (
    LEFT_OUT_COLUMNS,
    LEFT_OUT_TABLES,
    PRIVATE_TABLES,
    holds_of,
    left_out,
    private_kinds,
    record_kinds,
    sheet_of,
    tables_to_go,
)
from obslog.exchange.package.tables import Holds
from obslog.records.tables.schema import metadata
from obslog.records.tables.search_text import SEARCHED
from obslog.vocabulary.arrivals import Role

TABLES = [table for table in metadata.sorted_tables if table.name not in LEFT_OUT_TABLES]


def test_every_table_goes_but_those_with_a_reason() -> None:
    assert {table.name for table in tables_to_go(with_private=True)} == {
        table.name for table in metadata.sorted_tables
    } - {"kept_results", "mount_changes"}
    assert {table.name for table in tables_to_go(with_private=False)} == {
        table.name for table in tables_to_go(with_private=True)
    } - {"contacts"}


def test_what_a_table_refers_to_stands_before_it() -> None:
    order = [table.name for table in tables_to_go(with_private=True)]
    for table in TABLES:
        for key in table.foreign_keys:
            if key.column.table is not table:
                assert order.index(key.column.table.name) < order.index(table.name)


def test_what_is_left_out_is_told_with_its_reason() -> None:
    told = left_out(with_private=False)
    assert told.keys() >= LEFT_OUT_TABLES.keys() | LEFT_OUT_COLUMNS.keys() | PRIVATE_TABLES.keys()
    assert "contacts" not in left_out(with_private=True)
    assert all(told.values())


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_every_column_that_is_no_copy_has_a_form_and_a_meaning(table: Table) -> None:
    sheet = sheet_of(table)
    assert set(sheet.column_names) == set(table.c.keys()) - {"name_key", "search_text"}
    assert len(sheet.meaning) > 10
    for column in sheet.columns:
        assert column.meaning.endswith(".")
        assert column.needed == (not table.c[column.name].nullable)


def test_search_texts_are_left_out_of_just_the_tables_that_make_them_anew() -> None:
    """What is left out is put back by whoever inserts rows, so no other table may have such a column."""
    assert {table.name for table in TABLES if "search_text" in table.c} == SEARCHED.keys()
    assert all("name" in table.c for table in TABLES if "name_key" in table.c)


def test_what_a_column_may_hold_comes_from_its_check_and_its_vocabulary() -> None:
    arrivals = sheet_of(metadata.tables["arrivals"])
    assert arrivals.column("ra_hours").rule == fields.RA_HOURS
    assert arrivals.column("target").rule == fields.TARGET
    assert arrivals.column("role").words == tuple(Role)
    assert arrivals.column("role").holds is Holds.WORD
    assert arrivals.column("at_utc").holds is Holds.INSTANT
    assert arrivals.unique == (("setup_id", "at_utc", "role", "target"),)
    equipment = sheet_of(metadata.tables["equipment"])
    assert equipment.column("kind").words == ("mount", "tube", "eyepiece", "item")
    assert equipment.unique == ()  # that of kind and name_key cannot be told by the sheet alone
    papers = sheet_of(metadata.tables["papers"])
    assert papers.column("tag").unique
    assert sheet_of(metadata.tables["contacts"]).column("email").rule == fields.EMAIL
    references = {(r.column, r.table, r.table_column) for r in sheet_of(metadata.tables["loans"]).references}
    assert ("handed_over_from_id", "loans", "id") in references


def test_a_column_of_a_kind_that_no_sheet_knows_is_refused() -> None:
    from sqlalchemy import JSON

    with pytest.raises(TypeError, match="no sheet has a form"):
        holds_of(Table("t", metadata.__class__(), Column("c", JSON())).c.c)


def test_the_kinds_of_record_are_known_by_the_names_that_the_history_keeps() -> None:
    assert private_kinds() == ["Contact"]
    assert {"Site", "Mount", "Arrival", "Contact"} <= record_kinds()
