"""A file that was asked for and cannot be written: said in sentences about that file, not about the records."""

import errno
import os
from pathlib import Path

import pytest

from obslog.errors import ObslogError
from obslog.files.atomic_file import replaced_file
from obslog.files.output_files import (
    FileThere,
    NoFolderThere,
    NoRoomForOutput,
    OutputNotWritable,
    OutputNotWritten,
    output_in_sentences,
)
from tests.as_on_windows import ACCESS_DENIED, refusal


@pytest.mark.parametrize(
    ("number", "failure"),
    [
        (errno.EEXIST, FileThere),
        (errno.EACCES, OutputNotWritable),
        (errno.EPERM, OutputNotWritable),
        (errno.EROFS, OutputNotWritable),
        (errno.ENOSPC, NoRoomForOutput),
        (errno.EDQUOT, NoRoomForOutput),
        (errno.EIO, OutputNotWritten),
        (errno.ENOENT, OutputNotWritten),  # its folder is there, so it is not that
    ],
)
def test_each_complaint_has_its_sentence(tmp_path: Path, number: int, failure: type[ObslogError]) -> None:
    place = tmp_path / "sheet.csv"
    with pytest.raises(failure, match=r"sheet\.csv") as told, output_in_sentences(place):
        raise OSError(number, os.strerror(number))
    assert "--db" not in told.value.hint


def test_what_may_be_open_in_a_spreadsheet_is_said_to_be_so_on_windows(
    tmp_path: Path, windows_files: list[str]
) -> None:
    """There a file that another program has open cannot be replaced, and that is answered as a lack of rights is."""
    place = tmp_path / "inventory.xlsx"
    place.write_bytes(b"of last year")
    with place.open("rb"), pytest.raises(OutputNotWritable, match=r"inventory\.xlsx") as told:
        write_over(place)
    assert windows_files
    assert told.value.hint.startswith("Close it where it is open")
    write_over(place)
    assert place.read_bytes() == b"of this year"
    with pytest.raises(OutputNotWritable) as told, output_in_sentences(tmp_path / "new.xlsx"):
        raise refusal(tmp_path, ACCESS_DENIED)
    assert told.value.hint == "Name a file in a folder of your own.", "what is not there is open nowhere"


def write_over(place: Path) -> None:
    with output_in_sentences(place), replaced_file(place) as draft:
        draft.write_bytes(b"of this year")


def test_the_folder_that_is_missing_is_named(tmp_path: Path) -> None:
    (tmp_path / "note").touch()
    for place in (tmp_path / "none" / "sheet.csv", tmp_path / "note" / "sheet.csv"):
        with pytest.raises(NoFolderThere) as told, output_in_sentences(place):
            place.write_text("")
        assert str(place.parent) in told.value.message
        assert told.value.exit_code == 2


def test_what_is_no_complaint_of_the_file_system_passes(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), output_in_sentences(tmp_path / "a"):
        raise ZeroDivisionError
