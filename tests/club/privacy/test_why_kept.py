"""Every place in the records that names a member has a reason that they are told."""

from sqlalchemy import Column, ForeignKey, MetaData, Table

from obslog.club.privacy.why_kept import THROUGH, WHY, referring, untold
from obslog.records.tables.schema import metadata


def test_every_column_that_refers_to_members_has_its_reason() -> None:
    assert untold(metadata) == []


def test_there_is_no_reason_for_a_column_that_is_not_there() -> None:
    assert WHY.keys() == {f"{table.name}.{column.name}" for table, column in referring(metadata)}


def test_a_new_column_without_a_reason_is_found() -> None:
    larger = MetaData()
    for table in metadata.sorted_tables:
        table.to_metadata(larger)
    Table("keys_to_the_store", larger, Column("holder_id", ForeignKey("members.id")))
    assert untold(larger) == ["keys_to_the_store.holder_id"]


def test_everything_that_hangs_on_a_members_loan_is_told_through_it() -> None:
    of_loans = {table.name for table, column in referring(metadata, to="loans")} - {"loans"}
    assert of_loans <= {name for name, _column, owner, _reason in THROUGH if owner == "loans"}
