"""Bundles as files: of everything, of what is new, of one night; never over another file."""

from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import undo
from obslog.club.together import writing
from obslog.club.together.merging import merge_bundles
from obslog.club.together.sameness import make_same
from obslog.club.together.writing import NothingToTell, WhatToTell, write_bundle_to
from obslog.exchange.bundles.entries import ActEntry, ChangeEntry
from obslog.exchange.bundles.manifest import Manifest
from obslog.exchange.bundles.reading import read_bundle
from obslog.exchange.bundles.writing import write_bundle
from obslog.files.output_files import FileThere
from obslog.records.database import Database
from tests.club.together.conftest import Give, named, rows

GARDEN = {"lat_deg": 52.12345, "lon_deg": 2.98765, "zone": "Europe/London"}


def latitudes_told(database: Database, path: Path, later: datetime) -> set[float]:
    write_bundle_to(database, path, WhatToTell(), later)
    with path.open("rb") as stream:
        entries = [one for one in read_bundle(stream, later).entries if isinstance(one, ChangeEntry)]
    images = [
        image for one in entries if one.record_kind == "Site" for image in (one.before, one.after) if image
    ]
    return {float(image["lat_deg"] or 0.0) for image in images if "lat_deg" in image}


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


def test_where_a_private_site_lay_stays_here_when_it_is_one_with_another(
    here: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    add(here, "site", "Back garden", GARDEN | {"private": True}, now)
    add(here, "site", "Back gardn", GARDEN | {"lat_deg": 52.12346}, now)
    assert 52.12346 in latitudes_told(here, tmp_path / "apart", later)  # nobody has said that it is private
    make_same(here, "Back garden", "Back gardn", later, sure=True)
    assert not {52.12345, 52.12346} & latitudes_told(here, tmp_path / "joined", later)


def test_where_a_private_site_lay_stays_here_when_it_was_taken_back(
    here: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    add(here, "site", "Back garden", GARDEN | {"private": True}, now)
    undo(here, later)
    assert 52.12345 not in latitudes_told(here, tmp_path / "bundle", later)


def test_where_a_site_lies_that_is_private_no_more_is_told(
    here: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    add(here, "site", "Back garden", GARDEN | {"private": True}, now)
    edit(here, "site", "Back garden", {"private": False}, later)
    assert 52.12345 in latitudes_told(here, tmp_path / "bundle", later)


def test_what_was_taken_out_of_a_night_is_told_with_it(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    night = WhatToTell(night=date(2026, 3, 2))
    start_night(there, "Mill Field", now, present=[])
    start_setup(there, "Heron", now, observer="Ines")
    add_snag(there, "level", "a leg slips", now)
    give(there, here, night)
    assert len(rows(here)["snags"]) == 1
    undo(there, later)
    give(there, here, night)
    assert rows(here)["snags"] == rows(there)["snags"] == []


def test_what_stayed_at_home_is_still_new_to_who_is_told_it(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    set_contact(there, "Ines", {"phone": "01632 960001"}, now)
    give(there, here)
    assert rows(here)["contacts"] == []
    give(there, here, WhatToTell(untold=True, with_private=True))
    assert rows(here)["contacts"] == rows(there)["contacts"] != []


def test_what_is_written_while_a_bundle_is_written_is_still_new(
    here: Database, now: datetime, later: datetime, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = write_bundle

    def slowly(*told: Any, **more: Any) -> Manifest:
        manifest = write(*told, **more)
        add(here, "member", "Anna", {}, now)
        return manifest

    monkeypatch.setattr(writing, "write_bundle", slowly)
    write_bundle_to(here, tmp_path / "all", WhatToTell(), later)
    monkeypatch.undo()
    assert write_bundle_to(here, tmp_path / "new", WhatToTell(untold=True), later).acts == 1
