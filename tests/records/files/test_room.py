"""Whether a disk has room is asked of the disk itself."""

import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from obslog.records.files.room import has_room


@pytest.mark.parametrize(("free", "room"), [(0, False), (4096, False), (1 << 21, True)])
def test_a_disk_with_less_than_sqlite_asks_for_at_once_has_no_room(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, free: int, room: bool
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda path: SimpleNamespace(free=free))
    assert has_room(tmp_path / "club.db") is room


def test_a_disk_that_does_not_tell_is_not_called_full(tmp_path: Path) -> None:
    assert has_room(tmp_path / "no folder" / "club.db")
