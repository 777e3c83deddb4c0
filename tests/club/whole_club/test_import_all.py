"""A whole club in: the same rows and the same answers on both databases, whole or not at all, every fault told."""

import json
import shutil
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import pytest

from obslog.cli.main import main
from obslog.club.register.undo import redo, undo
from obslog.club.whole_club.export_all import export_all
from obslog.club.whole_club.import_all import NewerFolder, NotEmpty, import_all, rows_described
from obslog.exchange.package.faults import FolderRefused
from obslog.exchange.package.folder import NoClubInFolder
from obslog.records.care.damage import complaints
from obslog.records.change_counting import is_counting
from obslog.records.database import Database
from obslog.records.opening import open_database
from tests.club.whole_club.conftest import NOW
from tests.club.whole_club.folders import (
    cell_of,
    changed,
    described_anew,
    description_of,
    opened,
    with_cell,
)
from tests.club.whole_club.wrong_folders import CHANGES, dropped, without_last_line
from tests.seed_demo.conftest import NOON_AFTER, demo  # noqa: F401 - a fixture
from tests.written_once import rows_of

DEMO_COMMANDS = [
    "night list", "night show", "observation list", "snag list --all", "pointing fit Bramble", "pointing trend Bramble",
    "review", "store list", "kit list", "loan list --all --officer", "service due", "officer report", "stocktake past",
]  # fmt: skip


def answers(database: Database, lines: list[str], where: str) -> dict[str, object]:
    """What the commands answer as JSON, at noon after the club's last night."""
    told = {}
    for line in lines:
        out, err = StringIO(), StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            code = main(
                [*line.split(), "--json"],
                lambda: NOON_AFTER,
                {"OBSLOG_DB": where, "OBSLOG_CONFIG": "/nowhere"},
            )
        assert code == 0, f"{line}: {err.getvalue()}"
        told[line] = json.loads(out.getvalue())
    return told


def refused(database: Database, folder: Path) -> list[str]:
    """Every fault, told; nothing may have come in."""
    with pytest.raises(FolderRefused) as told:
        import_all(database, folder, NOW)
    assert rows_of(database.engine) == []
    return told.value.details


def test_every_row_comes_back_as_it_was(database: Database, odd_file: Path, odd_folder: Path) -> None:
    ticks: list[int] = []
    taken = import_all(database, odd_folder, NOW, tick=ticks.append)
    before = opened(odd_file)
    rows = rows_of(before.engine)
    before.close()
    assert rows_of(database.engine) == rows
    assert taken.rows == sum(len(found) for _, found in rows) == sum(ticks) == rows_described(odd_folder)
    assert (taken.not_in_folder, taken.not_read, taken.differ) == ([], [], [])


def test_a_club_of_two_years_gives_the_same_answers(
    demo: Database,  # noqa: F811
    new_target: str,
    tmp_path: Path,
) -> None:
    export_all(demo, tmp_path / "out", NOON_AFTER, with_private=True)
    database = open_database(new_target, NOON_AFTER, lambda _: None)
    import_all(database, tmp_path / "out", NOON_AFTER)
    assert rows_of(database.engine) == rows_of(demo.engine)
    assert answers(database, DEMO_COMMANDS, new_target) == answers(demo, DEMO_COMMANDS, demo.where)
    assert complaints(database.engine) == []
    with database.engine.connect() as connection:
        assert is_counting(connection)
    database.close()


def test_what_was_undone_can_be_done_again_and_what_was_done_undone(
    database: Database, odd_folder: Path
) -> None:
    import_all(database, odd_folder, NOW)
    assert redo(database, NOW) == "edit site Mill Field"
    assert undo(database, NOW) == "edit site Mill Field"
    assert undo(database, NOW) == "write down how a member is reached"


def test_what_was_noted_is_found_by_its_words_and_its_name(
    sqlite_database: Database, odd_folder: Path
) -> None:
    import_all(sqlite_database, odd_folder, NOW)
    found = answers(sqlite_database, ["find hyperlink"], sqlite_database.where)
    assert len(found["find hyperlink"]) == 1  # type: ignore[arg-type]
    assert complaints(sqlite_database.engine) == []


def test_only_an_empty_database_takes_a_club(odd_folder: Path, club: Database) -> None:
    before = rows_of(club.engine)
    with pytest.raises(NotEmpty) as told:
        import_all(club, odd_folder, NOW)
    assert "obslog --db NEW.db import all" in told.value.hint
    assert rows_of(club.engine) == before


def test_the_order_of_columns_and_rows_does_not_matter(
    sqlite_database: Database, odd_file: Path, odd_folder: Path, tmp_path: Path
) -> None:
    def turn(folder: Path) -> None:
        for path in folder.glob("*.csv"):
            if path.name in ("arrivals.csv", "changes.csv"):
                continue  # their texts hold commas and line ends
            lines = [line.split(",") for line in path.read_text(encoding="utf-8").splitlines()]
            turned = [",".join(reversed(line)) for line in [lines[0], *reversed(lines[1:])]]
            path.write_text("\n".join(turned), encoding="utf-8")

    import_all(sqlite_database, changed(odd_folder, tmp_path / "turned", turn), NOW)
    before = opened(odd_file)
    assert rows_of(sqlite_database.engine) == rows_of(before.engine)
    before.close()


@pytest.mark.parametrize("what", CHANGES)
def test_a_folder_with_a_fault_is_refused_as_a_whole_and_the_fault_is_told(
    what: str, sqlite_database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    change, told = CHANGES[what]
    details = refused(sqlite_database, changed(odd_folder, tmp_path / "changed", change))
    assert any(line.startswith(told) for line in details), details
    if what not in ("a file that is not there", "a link", "a kind that its sheet contradicts"):
        assert {line.partition(",")[0] for line in details} == {told.partition(",")[0]}, (
            "nothing else is to blame"
        )


@pytest.mark.parametrize(
    "what",
    ["what refers to nothing", "a rule of the database", "a name twice in other capitals"],
)
def test_a_server_refuses_the_same_in_the_same_words(
    what: str, postgres_database: Database, sqlite_database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    folder = changed(odd_folder, tmp_path / "changed", CHANGES[what][0])
    assert refused(postgres_database, folder) == refused(sqlite_database, folder)


def test_faults_of_many_sheets_are_told_at_once(
    sqlite_database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    def change(folder: Path) -> None:
        with_cell("sites.csv", 2, "lat_deg", "91")(folder)
        with_cell("sites.csv", 3, "lat_deg", "91")(folder)
        with_cell("tubes.csv", 2, "focal_mm", "x")(folder)
        dropped("snags.csv")(folder)

    details = refused(sqlite_database, changed(odd_folder, tmp_path / "changed", change))
    assert [line.partition(":")[0] for line in details] == [
        "sites.csv, lines 2-3",
        "tubes.csv, line 2",
        "snags.csv",
    ]


def test_what_refers_to_a_row_that_was_refused_is_not_to_blame(
    database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    """Nights, set-ups and arrivals hang on the site."""
    night = cell_of(odd_folder, "nights.csv", 2, "site_id")
    line = next(line for line in (2, 3) if cell_of(odd_folder, "sites.csv", line, "id") == night)
    folder = changed(odd_folder, tmp_path / "changed", with_cell("sites.csv", line, "elevation_m", "-501"))
    (told,) = refused(database, folder)
    assert told.startswith(f"sites.csv, line {line}: elevation_m: -501 is not")


def test_a_sheet_that_was_changed_is_told_and_taken_only_as_it_stands(
    sqlite_database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "changed"
    shutil.copytree(odd_folder, folder)
    without_last_line("observations.csv")(folder)
    with_cell("sites.csv", 2, "note", "moved the barn")(folder)
    (folder / "holiday.jpg").write_bytes(b"")
    details = refused(sqlite_database, folder)
    assert len(details) == 2
    assert all(line.endswith("--as-it-stands") for line in details)
    assert all("another hash" in line for line in details)
    taken = import_all(sqlite_database, folder, NOW, as_it_stands=True)
    assert len(taken.differ) == 2
    assert taken.not_read == ["holiday.jpg"]


def test_rows_that_are_gone_are_told_by_their_number(
    sqlite_database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "changed"
    shutil.copytree(odd_folder, folder)
    without_last_line("observations.csv")(folder)
    (told,) = refused(sqlite_database, folder)
    assert told.startswith("observations.csv: has 0 rows, not 1, has ")


def test_a_folder_without_contacts_is_a_club_and_what_is_not_there_is_told(
    sqlite_database: Database, odd_file: Path, tmp_path: Path
) -> None:
    before = opened(odd_file)
    export_all(before, tmp_path / "out", NOW)
    before.close()
    assert import_all(sqlite_database, tmp_path / "out", NOW).not_in_folder == ["contacts"]


def test_a_newer_program_s_folder_is_not_touched(
    sqlite_database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    def newer(folder: Path) -> None:
        document = description_of(folder)
        document["obslog"]["revision"] = "9999"
        (folder / "datapackage.json").write_text(json.dumps(document))

    with pytest.raises(NewerFolder, match="9999"):
        import_all(sqlite_database, changed(odd_folder, tmp_path / "newer", newer), NOW)


def test_a_sheet_of_no_table_is_refused(sqlite_database: Database, odd_folder: Path, tmp_path: Path) -> None:
    def rename(folder: Path) -> None:
        document = description_of(folder)
        for resource in document["resources"]:
            resource["name"] = {"sites": "sitez"}.get(resource["name"], resource["name"])
        (folder / "datapackage.json").write_text(json.dumps(document))

    details = refused(sqlite_database, changed(odd_folder, tmp_path / "renamed", rename))
    assert details[0].startswith(
        "datapackage.json: 'sitez' is no table of a club. Is it meant to be 'sites'?"
    )


def test_another_data_package_is_no_club(sqlite_database: Database, tmp_path: Path) -> None:
    resource = {"name": "prices", "path": "prices.csv"}
    (tmp_path / "datapackage.json").write_text(json.dumps({"resources": [resource]}))
    with pytest.raises(NoClubInFolder, match="names no sheet of a club"):
        import_all(sqlite_database, tmp_path, NOW)


def test_an_import_that_is_broken_off_leaves_nothing(sqlite_database: Database, odd_folder: Path) -> None:
    def stop(_done: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        import_all(sqlite_database, odd_folder, NOW, tick=stop)
    assert rows_of(sqlite_database.engine) == []


def test_a_sheet_full_of_faults_is_given_up_and_told_so(
    sqlite_database: Database, odd_folder: Path, tmp_path: Path
) -> None:
    def fill(folder: Path) -> None:
        (folder / "sites.csv").write_text("id,name\r\n" + "x,y\r\n" * 20_000)

    with pytest.raises(FolderRefused, match="500 faults or more"):
        import_all(sqlite_database, changed(odd_folder, tmp_path / "full", fill), NOW)


def test_describing_anew_is_what_export_wrote(odd_folder: Path, tmp_path: Path) -> None:
    """Or the tests above would not see what they change alone."""
    shutil.copytree(odd_folder, tmp_path / "copy")
    described_anew(tmp_path / "copy")
    before, after = description_of(odd_folder), description_of(tmp_path / "copy")
    for resource in before["resources"]:
        del resource["rows"]
    assert after == before
