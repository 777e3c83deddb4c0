"""A disk that fails is told as that: not as a full one, and not as another program's doing."""

import re
import shutil
from pathlib import Path

import pytest

from tests.cli.test_killed_acts import records_of
from tests.records.faults import DONE, FAILING, FULL, TOLD, faults_at_each

OTHER_CAUSES = ("no room left", "Another program", "unexpected")
OPENED_ALONE = 28  # calls in which a restore leaves write-ahead mode and locks the file


@pytest.fixture
def source(outside_template: Path, tmp_path: Path) -> Path:
    """A folder with the database of an evening."""
    folder = tmp_path / "source"
    (folder / "settings").mkdir(parents=True)
    Path(shutil.copy(outside_template, folder / "club.db")).chmod(0o600)
    return folder


def told(
    source: Path, tmp_path: Path, words: list[str], action: int, most: int | None = None
) -> list[tuple[int, str]]:
    """How each run ended, and what it said."""
    out = tmp_path / "out"
    out.mkdir()
    endings = faults_at_each(source, out, words, action, most=most)
    assert len(endings) > 10
    assert {ending for _number, ending in endings} <= {DONE, TOLD}
    return [(ending, (out / f"{number}.said").read_text()) for number, ending in endings]


def test_where_the_files_beside_cannot_be_made_the_disk_is_named_and_what_is_on_it_read(
    source: Path, tmp_path: Path
) -> None:
    runs = told(source, tmp_path, ["site", "list"], FAILING)
    assert not any(cause in said for _ending, said in runs for cause in OTHER_CAUSES)
    assert all("Mill Field" in said for ending, said in runs if ending == DONE)
    warned = [said for _ending, said in runs if "may be failing: it can be read" in said]
    assert len(warned) > 5
    assert all("obslog db backup --into FOLDER" in said for said in warned)


def test_a_restore_on_a_failing_disk_does_not_say_that_another_program_has_the_file(
    source: Path, tmp_path: Path
) -> None:
    shutil.copy(source / "club.db", source / "copy.db")
    before = records_of(source / "club.db")
    runs = told(source, tmp_path, ["db", "restore", "copy.db", "--yes"], FAILING, OPENED_ALONE)
    assert not any(cause in said for _ending, said in runs for cause in OTHER_CAUSES)
    refused = [said for ending, said in runs if ending == TOLD]
    assert len(refused) > 10
    assert all("Nothing was changed." in said and "failing" in said for said in refused)
    assert all(records_of(folder / "club.db") == before for folder in (tmp_path / "out").glob("[0-9]*[0-9]"))


@pytest.mark.parametrize(
    ("action", "what"), [(FULL, "no room left for .*sheets"), (FAILING, "sheets cannot be")]
)
def test_a_folder_of_sheets_is_whole_or_not_there_and_it_is_said_why(
    source: Path, tmp_path: Path, action: int, what: str
) -> None:
    out = tmp_path / "out"
    out.mkdir()
    endings = faults_at_each(source, out, ["export", "all", "sheets"], action, first=OPENED_ALONE, step=6)
    sheets = {path.name for path in (out / "0" / "sheets").iterdir()}
    refused = [(out / f"{number}.said").read_text() for number, ending in endings if ending != DONE]
    assert len([said for said in refused if re.search(what, said)]) > 5
    assert all("Another program" not in said and "unexpected" not in said for said in refused)
    for number, ending in endings:
        folder = out / str(number) / "sheets"
        there = {path.name for path in folder.iterdir()} if folder.exists() else set()
        assert there == (sheets if ending == DONE else set())


def test_a_share_of_a_disk_that_is_used_up_is_not_told_as_another_program(
    source: Path, tmp_path: Path
) -> None:
    """The disk itself has room, and takes nothing: whose share is used up can still read, and is told of the share."""
    for _ending, said in told(source, tmp_path, ["sync", "Procyon", "3E", "2N"], FULL, 40):
        assert "Another program" not in said
        assert "no room left" in said or "your share of it is used up" in said or "may be failing" in said
