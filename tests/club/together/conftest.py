"""Two laptops of the invented club: the one here on either database, the other a file; and bundles between them."""

import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from obslog.club.register.named_records import edit
from obslog.club.together.merged import Merged
from obslog.club.together.merging import merge_bundles
from obslog.club.together.writing import WhatToTell, write_bundle_to
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook import Act
from obslog.records.tables.schema import metadata

LOCAL = {
    "acts", "changes", "change_batches", "kept_results", "mount_changes", "parked_records", "record_obstacles",
    "told_acts", "alembic_version",
}  # fmt: skip
Give = Callable[..., Merged]


@pytest.fixture
def here(club: Database) -> Database:
    """The laptop that merges."""
    return club


@pytest.fixture
def there(club_file: Path, tmp_path: Path) -> Iterator[Database]:
    """Another laptop of the club, which began as a copy of its file."""
    path = shutil.copy(club_file, tmp_path / "there.db")
    database = Database(make_engine(str(path)), str(path))
    yield database
    database.close()


@pytest.fixture
def third(club_file: Path, tmp_path: Path) -> Iterator[Database]:
    path = shutil.copy(club_file, tmp_path / "third.db")
    database = Database(make_engine(str(path)), str(path))
    yield database
    database.close()


@pytest.fixture
def later() -> datetime:
    """After all that was done, also by the machine's clock, by which the keys of acts are made."""
    return datetime.now(UTC).replace(microsecond=0) + timedelta(hours=1)


@pytest.fixture
def give(tmp_path: Path, later: datetime) -> Give:
    """Writes a bundle of the one laptop and merges it into the other: give(there, here)."""
    numbers = count(1)

    def hand_over(
        source: Database, target: Database, what: WhatToTell | None = None, *, only_look: bool = False
    ) -> Merged:
        path = tmp_path / f"{next(numbers)}.bundle"
        write_bundle_to(source, path, what or WhatToTell(), later)
        return merge_bundles(target, [path], later, only_look=only_look)

    return hand_over


@pytest.fixture
def contradicted(here: Database, there: Database, give: Give, now: datetime) -> Database:
    """Both have given Mill Field a place and a note; the other laptop's came later, and stand."""
    edit(here, "site", "Mill Field", {"lat_deg": 52.3, "lon_deg": 0.13, "note": "by the gate"}, now)
    edit(there, "site", "Mill Field", {"lat_deg": 52.4, "lon_deg": 0.14, "note": "by the mill"}, now)
    give(there, here)
    return here


def rows(database: Database) -> dict[str, list[Any]]:
    """All rows of all tables but the history itself, and of what is only kept on one machine."""
    with database.read() as session:
        return {
            table.name: sorted((tuple(row) for row in session.execute(select(table))), key=str)
            for table in metadata.sorted_tables
            if table.name not in LOCAL
        }


def named(database: Database, table: str) -> list[str]:
    """The names in a table, in order."""
    with database.read() as session:
        return sorted(session.scalars(select(metadata.tables[table].c.name)))


def newest_act(database: Database) -> str:
    """Its reference."""
    with database.read() as session:
        return reference_of(session.scalars(select(Act.id).order_by(Act.id.desc()).limit(1)).one())
