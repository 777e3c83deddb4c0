"""A sheet is taken a part at a time, whatever its length."""

from pathlib import Path

import pytest
from sqlalchemy import func, select

from obslog.club.whole_club.row_loader import LostRows
from obslog.club.whole_club.sheet_intake import CHUNK, take_sheet
from obslog.exchange.package.faults import FaultList
from obslog.exchange.package.folder import Resource
from obslog.records.database import Database
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.schema import metadata
from tests.club.whole_club.conftest import NOW

SITES = metadata.tables["sites"]
RESOURCE = Resource(table="sites", file="sites.csv", rows=None, bytes=None, hash=None)


def take(database: Database, folder: Path, text: str) -> tuple[list[int], FaultList, str]:
    """The sizes of the parts, the faults, and how the file differs from its description."""
    (folder / "sites.csv").write_bytes(text.encode())
    parts: list[int] = []
    faults = FaultList()
    with database.write(NOW) as session:
        outcome = take_sheet(session, SITES, folder, RESOURCE, faults, LostRows(), parts.append)
    return parts, faults, outcome.differs


@pytest.mark.parametrize("rows", [1, CHUNK - 1, CHUNK, CHUNK + 1, 2 * CHUNK])
def test_every_row_comes_in_whatever_the_size_of_the_parts(
    rows: int, sqlite_database: Database, tmp_path: Path
) -> None:
    lines = [f"{key},Site {number}\r\n" for number, key in enumerate(new_keys_as_text(rows))]
    parts, faults, _ = take(sqlite_database, tmp_path, f"id,name\r\n{''.join(lines)}")
    assert len(faults) == 0
    assert sum(parts) == rows
    assert max(parts) <= CHUNK
    with sqlite_database.read() as session:
        assert session.scalar(select(func.count()).select_from(SITES)) == rows


def test_parts_of_long_rows_are_smaller(sqlite_database: Database, tmp_path: Path) -> None:
    lines = [f"{key},Site {number},{'x' * 900_000}\r\n" for number, key in enumerate(new_keys_as_text(20))]
    parts, faults, _ = take(sqlite_database, tmp_path, f"id,name,note\r\n{''.join(lines)}")
    assert (len(faults), sum(parts)) == (0, 20)
    assert max(parts) <= 10  # eight megabytes


def test_columns_that_may_be_blank_may_be_missing(sqlite_database: Database, tmp_path: Path) -> None:
    (key,) = new_keys_as_text(1)
    parts, faults, differs = take(sqlite_database, tmp_path, f"name,id\nDune,{key}\n")
    assert (parts, len(faults)) == ([1], 0)
    assert differs == "has no hash in the description."


def test_a_wrong_row_is_told_with_the_line_on_which_it_begins(
    sqlite_database: Database, tmp_path: Path
) -> None:
    first, second = new_keys_as_text(2)
    text = f'id,name,note,lat_deg\n{first},Dune,"two\nlines",5\n\n{second},Moor,,95\n'
    _, faults, _ = take(sqlite_database, tmp_path, text)
    assert [(fault.line, fault.column) for fault in faults] == [(5, "lat_deg")]
