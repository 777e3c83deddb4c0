"""A whole club out: all of it but what is private, in a folder that nobody else can read, whole or not at all."""

import csv
import json
import stat
from pathlib import Path

import pytest
from sqlalchemy import select

from obslog.club.whole_club.export_all import FolderExists, export_all, rows_on_record
from obslog.club.whole_club.import_all import import_all
from obslog.club.whole_club.sheet_tables import tables_to_go
from obslog.files.output_files import NoFolderThere
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Act, Change
from tests.club.whole_club.conftest import NOW, fill_odd_club
from tests.club.whole_club.folders import description_of
from tests.written_once import rows_of


@pytest.fixture
def odd(club: Database) -> Database:
    """The odd club on either database."""
    fill_odd_club(club)
    return club


def rows_in(folder: Path, file: str) -> list[dict[str, str]]:
    with (folder / file).open(encoding="utf-8", newline="") as sheet:
        return list(csv.DictReader(sheet, strict=True))


def test_the_folder_can_be_read_by_its_owner_alone(odd: Database, tmp_path: Path) -> None:
    written = export_all(odd, tmp_path / "out", NOW)
    assert stat.S_IMODE((tmp_path / "out").stat().st_mode) == 0o700
    files = list((tmp_path / "out").iterdir())
    assert {stat.S_IMODE(path.stat().st_mode) for path in files} == {0o600}
    assert {path.name for path in files} == {sheet.file for sheet in written.sheets} | {"datapackage.json"}
    assert list(tmp_path.glob(".*")) == []


def test_every_row_goes_and_is_counted(odd: Database, tmp_path: Path) -> None:
    ticks: list[int] = []
    written = export_all(odd, tmp_path / "out", NOW, with_private=True, tick=ticks.append)
    with odd.read() as session:
        counts = {
            table.name: len(session.execute(select(table)).all()) for table in tables_to_go(with_private=True)
        }
    assert {sheet.table: sheet.rows for sheet in written.sheets} == counts
    assert written.rows == sum(counts.values()) == sum(ticks) == rows_on_record(odd)
    assert {name: len(rows_in(tmp_path / "out", f"{name}.csv")) for name in counts} == counts


def test_without_being_asked_no_contact_goes_nor_its_history(odd: Database, tmp_path: Path) -> None:
    export_all(odd, tmp_path / "out", NOW)
    everything = "".join(path.read_text(encoding="utf-8") for path in (tmp_path / "out").iterdir())
    for secret in ("1223 000000", "ines@example.org"):
        assert secret not in everything
    with odd.read() as session:
        acts = {str(act.id) for act in session.scalars(select(Act))}
        of_contacts = {
            str(change.act_id)
            for change in session.scalars(select(Change).where(Change.record_kind == "Contact"))
        }
    assert len(of_contacts) == 1
    assert {row["id"] for row in rows_in(tmp_path / "out", "acts.csv")} == acts - of_contacts
    export_all(odd, tmp_path / "private", NOW, with_private=True)
    (contact,) = rows_in(tmp_path / "private", "contacts.csv")
    assert contact["phone"] == "'+44 1223 000000"
    assert {row["id"] for row in rows_in(tmp_path / "private", "acts.csv")} == acts


def test_texts_are_guarded_and_numbers_stay_numbers(odd: Database, tmp_path: Path) -> None:
    export_all(odd, tmp_path / "out", NOW)
    arrivals = rows_in(tmp_path / "out", "arrivals.csv")
    assert [row["note"] for row in arrivals][:6] == [
        "'=HYPERLINK(1)", "'-5", "'+44", "'@home", "'tis", "''=1",
    ]  # fmt: skip
    assert arrivals[1]["offset_east_arcmin"] == "-1.5"
    assert arrivals[0]["offset_north_arcmin"] == "1e-07"
    for path in (tmp_path / "out").glob("*.csv"):
        for row in rows_in(tmp_path / "out", path.name):
            for cell in row.values():
                assert not cell.startswith(("=", "+", "@", "\t", "\r"))
                assert not cell.startswith("-") or float(cell) <= 0


def test_lines_end_as_the_standard_says(odd: Database, tmp_path: Path) -> None:
    export_all(odd, tmp_path / "out", NOW)
    data = (tmp_path / "out" / "sites.csv").read_bytes()
    assert data.count(b"\n") == data.count(b"\r\n") == 3  # the head and two sites
    assert data.startswith(b"id,name,lat_deg,")


def test_the_same_club_is_the_same_folder_on_both_databases(
    database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    import_all(database, odd_folder, NOW)
    export_all(database, tmp_path / "again", NOW, with_private=True)
    for path in odd_folder.iterdir():
        assert (tmp_path / "again" / path.name).read_bytes() == path.read_bytes(), path.name


def test_the_description_says_what_was_left_out_and_why(odd: Database, tmp_path: Path) -> None:
    written = export_all(odd, tmp_path / "out", NOW)
    document = description_of(tmp_path / "out")
    assert document["created"] == "2026-03-02T21:40:00Z"
    assert document["obslog"]["left_out"] == written.left_out
    assert {"contacts", "kept_results", "search_text"} <= written.left_out.keys()
    assert json.dumps(document).count("contacts.csv") == 0


def test_nothing_is_overwritten(odd: Database, tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    with pytest.raises(FolderExists):
        export_all(odd, tmp_path / "there", NOW)
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    with pytest.raises(FolderExists):
        export_all(odd, tmp_path / "link", NOW)
    with pytest.raises(NoFolderThere):
        export_all(odd, tmp_path / "no" / "out", NOW)
    assert list((tmp_path / "there").iterdir()) == []


def test_an_export_that_fails_leaves_nothing_behind(odd: Database, tmp_path: Path) -> None:
    def stop(_done: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        export_all(odd, tmp_path / "out", NOW, tick=stop)
    assert [path for path in tmp_path.iterdir() if path.is_dir()] == []


def test_exporting_changes_nothing(odd: Database, tmp_path: Path) -> None:
    before = rows_of(odd.engine)
    export_all(odd, tmp_path / "out", NOW, with_private=True)
    assert rows_of(odd.engine) == before
