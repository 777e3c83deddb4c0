"""A folder of mail files: all or none, never over another file, and whom there is none for."""

import os
import stat
from dataclasses import replace
from pathlib import Path
from uuid import UUID

import pytest

from obslog.club.reminding.reminders import MemberReminder
from obslog.files.output_files import OutputNotWritable
from obslog.report.reminding.club_template import Letter
from obslog.report.reminding.mail_files import NotAnAddress
from obslog.report.reminding.mail_folder import MailThere, NotAMailFolder, mails_made
from tests.report.reminding.records import INES, NOW


def write_mails(
    pairs: list[tuple[MemberReminder, Letter]], folder: Path, sender: str | None = None
) -> dict[UUID, Path | str]:
    mails = mails_made(pairs, folder, NOW.date(), NOW, sender)
    mails.write()
    return mails.outcome


LETTER = Letter("Overdue: Evening kit", "Dear Ines,\n")
NOOR = replace(INES, key=UUID(int=7), member="Noor", email=None)
BRAM = replace(INES, key=UUID(int=8), member="Bram Ostler", email="bram,all@example.org")
PAIRS = [(INES, LETTER), (NOOR, LETTER), (BRAM, LETTER)]


def test_a_file_each_and_words_for_those_without(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "mails"
    outcome = write_mails(PAIRS, folder)
    assert outcome[INES.key] == folder / "2026-03-02-ines-00abcd.eml"
    assert outcome[NOOR.key] == "no e-mail on record: obslog member contact Noor --email ADDRESS"
    assert str(outcome[BRAM.key]).startswith("the e-mail on record is not usable")
    assert [file.name for file in folder.iterdir()] == ["2026-03-02-ines-00abcd.eml"]


@pytest.mark.skipif(os.name != "posix", reason="files have owners there")
def test_only_the_officer_may_read_them(tmp_path: Path) -> None:
    write_mails(PAIRS, tmp_path)
    (file,) = tmp_path.iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_the_same_again_changes_nothing_and_other_words_are_refused(tmp_path: Path) -> None:
    write_mails(PAIRS, tmp_path)
    (file,) = tmp_path.iterdir()
    before = file.read_bytes()
    write_mails(PAIRS, tmp_path)
    other = replace(INES, key=UUID(int=1), member="Ada")
    with pytest.raises(MailThere):
        write_mails([(other, LETTER), (INES, Letter("Other", "words\n"))], tmp_path)
    assert {found.name: found.read_bytes() for found in tmp_path.iterdir()} == {file.name: before}


def test_a_file_in_the_folders_place_and_a_sender_that_is_none(tmp_path: Path) -> None:
    file = tmp_path / "mails"
    file.write_text("mine")
    with pytest.raises(NotAMailFolder):
        write_mails(PAIRS, file)
    with pytest.raises(NotAnAddress):
        write_mails(PAIRS, tmp_path / "others", "me\nBcc: all@example.org")
    assert [found.name for found in tmp_path.iterdir()] == ["mails"]


def test_where_one_cannot_be_written_none_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real, written = Path.write_bytes, []

    def fails_second(self: Path, content: bytes) -> int:
        written.append(self)
        if len(written) == 2:
            raise PermissionError
        return real(self, content)

    monkeypatch.setattr(Path, "write_bytes", fails_second)
    other = replace(INES, key=UUID(int=9), member="Ada")
    with pytest.raises(OutputNotWritable):
        write_mails([(INES, LETTER), (other, LETTER)], tmp_path)
    assert len(written) == 2
    assert list(tmp_path.iterdir()) == []
