"""The copy before an upgrade: none where nothing is to be done, and none left where the upgrade failed."""

from datetime import datetime
from pathlib import Path

import pytest

from obslog.records.copied_upgrades import upgrade_with_a_copy
from obslog.records.engine import make_engine
from obslog.records.upgrading import SCHEMA_REVISION


def copies_of(path: Path) -> list[Path]:
    return list(path.parent.glob("*.before-*"))


def test_a_file_that_another_program_has_upgraded_is_not_copied(
    sqlite_path: Path, now: datetime, said: list[str]
) -> None:
    engine = make_engine(str(sqlite_path))
    upgrade_with_a_copy(engine, sqlite_path, SCHEMA_REVISION, None, now, said.append)
    engine.dispose()
    assert (copies_of(sqlite_path), said) == ([], [])


def test_where_the_upgrade_fails_the_copy_goes_again(
    sqlite_path: Path, now: datetime, said: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []

    def fail(*_arguments: object, **_options: object) -> None:
        made.extend(copies_of(sqlite_path))
        raise ValueError

    monkeypatch.setattr("obslog.records.merging.kept_for_later.columns_there", fail)
    engine = make_engine(str(sqlite_path))
    with pytest.raises(ValueError):
        upgrade_with_a_copy(engine, sqlite_path, "a later one", None, now, said.append)
    engine.dispose()
    assert len(made) == 1
    assert (copies_of(sqlite_path), said) == ([], [])
