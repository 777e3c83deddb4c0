"""Records and rows have the keys of the columns that they are read from."""

import pytest
from sqlalchemy import inspect
from sqlalchemy.orm import Mapper

from obslog.cli.answers.record_answers import RECORDS, ROWS
from obslog.exchange.arrivals_rows import COLUMNS
from obslog.exchange.spreadsheets.columns import kinds
from obslog.records.name_lookup import table_of

CONTACT = {"phone", "email", "address"}


@pytest.mark.parametrize("kind", RECORDS)
def test_a_record_has_the_columns_of_its_table(kind: str) -> None:
    mapper: Mapper[object] = inspect(table_of(kind))
    columns = {attribute.key for attribute in mapper.column_attrs} - {"id", "kind", "name_key"}
    assert RECORDS[kind].__annotations__.keys() - CONTACT == columns - {"name"} | {"name"}


@pytest.mark.parametrize("kind", [name for name in ROWS if name != "arrivals"])
def test_a_row_has_the_columns_of_its_sheet(kind: str) -> None:
    columns = {column.name for column in kinds()[kind].columns}
    told = set(ROWS[kind].__annotations__)
    assert told <= columns
    assert columns - told <= {"condition", "date", "time"}  # may come in, and do not go out


def test_a_row_of_arrivals_has_the_columns_of_the_arrivals_sheet() -> None:
    assert tuple(ROWS["arrivals"].__annotations__) == COLUMNS
