"""Bundles as files: of everything, of what is new, of one night; never over another file."""

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from obslog.club.night.nights import start_night
from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import undo
from obslog.club.together.merging import merge_bundles
from obslog.club.together.writing import NothingToTell, WhatToTell, write_bundle_to
from obslog.exchange.bundles.entries import ActEntry
from obslog.exchange.bundles.reading import read_bundle
from obslog.files.output_files import FileThere
from obslog.records.database import Database
from tests.club.together.conftest import named


def test_a_bundle_says_in_its_first_line_what_it_holds(
    here: Database, later: datetime, tmp_path: Path
) -> None:
    written = write_bundle_to(here, tmp_path / "all", WhatToTell(), later)
    with (tmp_path / "all").open("rb") as stream:
        manifest = read_bundle(stream, later).manifest
    assert (manifest.acts, manifest.changes) == (written.acts, written.changes) == (11, 11)
    assert written.bytes == (tmp_path / "all").stat().st_size
    assert (tmp_path / "all").stat().st_mode & 0o077 == 0


def test_no_file_is_written_over_and_nothing_new_is_no_bundle(
    here: Database, later: datetime, tmp_path: Path
) -> None:
    (tmp_path / "there").write_text("mine")
    with pytest.raises(FileThere):
        write_bundle_to(here, tmp_path / "there", WhatToTell(), later)
    assert (tmp_path / "there").read_text() == "mine"
    write_bundle_to(here, tmp_path / "all", WhatToTell(), later)
    with pytest.raises(NothingToTell):
        write_bundle_to(here, tmp_path / "new", WhatToTell(untold=True), later)
    assert not (tmp_path / "new").exists()


def test_only_what_is_new_is_enough_for_who_had_the_rest(
    here: Database, there: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    write_bundle_to(there, tmp_path / "all", WhatToTell(), later)
    add(there, "member", "Anna", {}, now + timedelta(days=1))
    untold = write_bundle_to(there, tmp_path / "new", WhatToTell(untold=True), later)
    since = write_bundle_to(there, tmp_path / "since", WhatToTell(since=date(2026, 3, 3)), later)
    assert untold.acts == since.acts == 1
    assert merge_bundles(here, [tmp_path / "new", tmp_path / "since"], later).acts == 1
    assert "Anna" in named(here, "members")


def test_what_a_part_did_not_tell_is_still_new(
    there: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    add(there, "member", "Anna", {}, now + timedelta(days=1))
    write_bundle_to(there, tmp_path / "since", WhatToTell(since=date(2026, 3, 3)), later)
    assert write_bundle_to(there, tmp_path / "new", WhatToTell(untold=True), later).acts == 11


def test_an_act_that_only_came_along_with_its_undoing_is_still_new(
    there: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    write_bundle_to(there, tmp_path / "all", WhatToTell(), later)
    add(there, "mount", "Hern", {}, now)
    undo(there, now + timedelta(days=1))
    since = write_bundle_to(there, tmp_path / "since", WhatToTell(since=date(2026, 3, 3)), later)
    assert (since.acts, since.changes) == (2, 1)
    untold = write_bundle_to(there, tmp_path / "new", WhatToTell(untold=True), later)
    assert (untold.acts, untold.changes) == (1, 1)  # how the mount came on record


def test_a_part_also_tells_the_records_of_those_who_are_named_in_it(
    here: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    for name in ("Zora Kettlewell", "Anna"):
        add(here, "member", name, {}, now)
    edit(here, "mount", "Heron", {"note": "zora  kettlewell has the manual"}, now + timedelta(days=1))
    write_bundle_to(here, tmp_path / "since", WhatToTell(since=date(2026, 3, 3)), later)
    with (tmp_path / "since").open("rb") as stream:
        told = [entry for entry in read_bundle(stream, later).entries if isinstance(entry, ActEntry)]
    assert [act.sentence for act in told] == ["add member Zora Kettlewell", "edit mount Heron"]


def test_one_night_is_enough_for_who_knows_nothing(
    here: Database, sqlite_database: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    start_night(here, "Mill Field", now, present=["Ines"])
    written = write_bundle_to(here, tmp_path / "night", WhatToTell(night=date(2026, 3, 2)), later)
    assert written.acts == 3  # the site, the member and the night
    merged = merge_bundles(sqlite_database, [tmp_path / "night"], later)
    assert merged.came == {"attendance": 1, "member": 1, "night": 1, "site": 1}
    assert merged.to_settle == []
