"""What only its owner may read is closed to others, and nothing more is done to it."""

import os
import stat
from pathlib import Path

import pytest

from obslog.files.private_files import make_private, open_to_others

pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX's")


def test_a_file_that_others_can_read_is_closed_once(tmp_path: Path) -> None:
    path = tmp_path / "members.csv"
    path.touch()
    path.chmod(0o644)
    assert open_to_others(path)
    assert (make_private(path), make_private(path)) == (True, False)
    assert not open_to_others(path)


def test_a_file_that_is_write_protected_stays_so(tmp_path: Path) -> None:
    path = tmp_path / "club.db"
    path.write_bytes(b"")
    path.chmod(0o444)
    assert make_private(path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o400


def test_a_file_that_may_not_be_changed_is_left_without_a_word(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "another.db"
    path.touch(0o644)

    def refuse(*_arguments: object, **_more: object) -> None:
        raise PermissionError("Operation not permitted")

    monkeypatch.setattr(Path, "chmod", refuse)
    assert make_private(path) is False
