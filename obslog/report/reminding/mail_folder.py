"""Mail files in a folder, one a member: all of them or none, and never over a file that is there."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from uuid import UUID

from obslog.club.reminding.reminders import MemberReminder
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import output_in_sentences
from obslog.report.reminding.club_template import Letter
from obslog.report.reminding.mail_files import NotAnAddress, file_name, mail_file, mailbox

ONLY_THE_OFFICERS = 0o600
NO_EMAIL = "no e-mail on record: obslog member contact {} --email ADDRESS"
UNUSABLE = "the e-mail on record is not usable in a mail: obslog member contact {} --email ADDRESS"


class NotAMailFolder(WrongInput):
    def __init__(self, folder: Path) -> None:
        super().__init__(f"{folder} is not a folder.", "Name a folder: --into FOLDER")


class MailThere(ObslogError):
    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} is there already, and says something else.",
            "Nothing was written. Delete it or move it away, or choose another folder.",
        )


@dataclass(frozen=True, slots=True)
class Mails:
    """Mails that were made and not written yet: by the key of each member the file, or in words why there is none."""

    folder: Path
    outcome: dict[UUID, Path | str]
    contents: dict[Path, bytes]

    def write(self) -> None:
        """Write all of them or none, and make the folder. Raises MailThere, and as the file system has it."""
        _write_all(self.folder, self.contents)


def check_folder(folder: Path) -> None:
    """Raises NotAMailFolder where something else is there."""
    if folder.exists() and not folder.is_dir():
        raise NotAMailFolder(folder)


def mails_made(
    letters: Sequence[tuple[MemberReminder, Letter]],
    folder: Path,
    day: date,
    now: datetime,
    sender: str | None,
) -> Mails:
    """The mails of these letters, their files named by the day. Raises NotAnAddress for the sender, NotAMailFolder."""
    if sender is not None:
        mailbox("", sender)
    check_folder(folder)
    mails = Mails(folder, {}, {})
    for reminder, letter in letters:
        made = _mail(reminder, letter, now, sender)
        if isinstance(made, str):
            mails.outcome[reminder.key] = made
        else:
            place = folder / file_name(reminder.member, reminder.key, day)
            mails.outcome[reminder.key] = place
            mails.contents[place] = made
    return mails


def _mail(reminder: MemberReminder, letter: Letter, now: datetime, sender: str | None) -> bytes | str:
    member = quoted(reminder.member)
    if reminder.email is None:
        return NO_EMAIL.format(member)
    try:
        return mail_file(letter, reminder.member, reminder.email, reminder.key, now, sender)
    except NotAnAddress:
        return UNUSABLE.format(member)


def _write_all(folder: Path, contents: dict[Path, bytes]) -> None:
    """A file that is there with the same content is left; where one cannot be written, those before it go again."""
    with output_in_sentences(folder):
        for place, content in contents.items():
            if place.exists() and place.read_bytes() != content:
                raise MailThere(place)
        folder.mkdir(parents=True, exist_ok=True)
        written: list[Path] = []
        try:
            for place, content in contents.items():
                if place.exists():
                    continue
                with whole_file(place) as draft:
                    draft.touch(ONLY_THE_OFFICERS)
                    draft.write_bytes(content)
                written.append(place)
        except BaseException:
            for place in written:
                place.unlink(missing_ok=True)
            raise
