"""A record that is spread over two sheets is in both, or the line of its half is told."""

from pathlib import Path

import pytest

from obslog.club.whole_club.import_all import import_all
from obslog.exchange.package.faults import FolderRefused
from obslog.records.database import Database
from tests.club.whole_club.conftest import NOW
from tests.club.whole_club.folders import changed


def test_a_mount_without_its_half_is_told_with_its_line(
    database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    """Bracken is in no set-up, so that nothing but its own half is missing."""
    equipment = (odd_folder / "equipment.csv").read_text(encoding="utf-8").splitlines()
    line = next(number for number, row in enumerate(equipment, start=1) if ",Bracken," in row)
    key = equipment[line - 1].split(",")[0]

    def forget(folder: Path) -> None:
        rows = (folder / "mounts.csv").read_text(encoding="utf-8").splitlines(keepends=True)
        (folder / "mounts.csv").write_text("".join(row for row in rows if not row.startswith(key)))

    with pytest.raises(FolderRefused) as told:
        import_all(database, changed(odd_folder, tmp_path / "changed", forget), NOW)
    assert told.value.details == [
        f"equipment.csv, line {line}: id: is of the kind mount, but mounts.csv has no row with its key. Put it there."
    ]
