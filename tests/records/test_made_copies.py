"""The list of the copies that this program has made, and the removing of those that are still as they were made."""

import hashlib
import os
import platform
import stat
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from obslog.records.made_copies import (
    Made,
    fingerprint,
    is_as_made,
    made,
    of_database,
    read_list,
    remove,
    write_list,
)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    path = tmp_path / "copy.db"
    path.write_bytes(b"all that is on record")
    return path


def test_an_entry_says_of_what_and_where_and_when_with_the_bytes(copy: Path, now: datetime) -> None:
    database = copy.with_name("club.db")
    entry = made(copy, database, now)
    assert entry == Made(
        file="copy.db",
        of=str(database.resolve()),
        machine=platform.node(),
        made_utc="2026-03-02T21:40:00+00:00",
        sha256=hashlib.sha256(b"all that is on record").hexdigest(),
    )
    assert (entry.at, fingerprint(copy)) == (now, entry.sha256)


def test_a_list_is_private_comes_back_and_leaves_out_what_is_gone(copy: Path, now: datetime) -> None:
    place, gone = copy.with_name("list.json"), copy.with_name("gone.db")
    gone.write_bytes(b"")
    entries = [made(copy, copy, now), made(gone, copy, now)]
    write_list(place, entries)
    assert read_list(place) == entries
    if os.name == "posix":
        assert stat.S_IMODE(place.stat().st_mode) == 0o600
    again = made(copy, copy, now + timedelta(days=1))
    write_list(place, [*entries, again])
    assert read_list(place) == [again, entries[1]]
    gone.unlink()
    write_list(place, entries)
    assert read_list(place) == entries[:1]


def test_each_database_and_machine_has_its_own(
    copy: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    mine, other = made(copy, copy, now), made(copy, copy.with_name("other.db"), now)
    monkeypatch.setattr(platform, "node", lambda: "another laptop")
    theirs = made(copy, copy, now)
    monkeypatch.undo()
    assert of_database(copy, [mine, other, theirs]) == [mine]


def test_only_what_is_as_it_was_made_is_removed(copy: Path, now: datetime) -> None:
    entry = made(copy, copy, now)
    copy.write_bytes(b"all that is on record, and a note")
    assert not is_as_made(copy.parent, entry)
    assert remove(copy.parent, [entry]) == []
    copy.rename(copy.with_name("aside.db")).write_bytes(b"all that is on record")
    copy.symlink_to(copy.with_name("aside.db"))
    assert remove(copy.parent, [entry]) == []
    copy.unlink()
    copy.write_bytes(b"all that is on record")
    assert is_as_made(copy.parent, entry)
    assert remove(copy.parent, [entry]) == [copy]
    assert not copy.exists()


@pytest.mark.parametrize(
    "listed",
    ["not JSON", "{}", '[{"file": 3}]', "[" * 9000, '[{"file": "../club.db", "of": "", "machine": "", '
     '"made_utc": "2020-01-01T00:00:00+00:00", "sha256": ""}]', '[{"file": "club.db", "of": "", "machine": "", '
     '"made_utc": "2020-01-01T00:00:00", "sha256": ""}]'],
)  # fmt: skip
def test_a_list_that_is_none_or_names_what_lies_elsewhere_is_empty(tmp_path: Path, listed: str) -> None:
    (tmp_path / "list.json").write_text(listed)
    assert read_list(tmp_path / "list.json") == []
    assert read_list(tmp_path / "none.json") == []
