"""The letter of thanks for a gift, from the club's template or the one that ships."""

from dataclasses import asdict, fields
from datetime import date
from pathlib import Path

from obslog.club.office.gifts import Gift
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import output_in_sentences
from obslog.report.reminding.club_template import (
    ClubTemplate,
    Letter,
    LetterKind,
    source_of,
    write_club_template,
)
from obslog.report.reminding.template_rules import Vocabulary

THANKS = LetterKind(
    shipped="thanks.txt.j2",
    command="obslog officer thanks",
    may=Vocabulary(
        texts=("today", *(field.name for field in fields(Gift))),
        of="a gift",
        loops="a letter of thanks has no lists, so there is nothing for a loop",
    ),
)


def thanks(template: Path | None, gift: Gift, today: date) -> Letter:
    """The letter for that gift. Raises TemplateFault, NoTemplate."""
    return ClubTemplate(THANKS, *source_of(THANKS, template)).filled({"today": today, **asdict(gift)})


def write_thanks_template(file: Path) -> None:
    """Write down the template that ships, to be changed. Raises FileThere."""
    write_club_template(THANKS, file)


def write_letter(letter: Letter, file: Path) -> None:
    """Write the letter as plain text that its owner alone can read, never over a file. Raises FileThere."""
    with output_in_sentences(file), whole_file(file, private=True) as draft:
        draft.write_text(f"{letter.subject}\n\n{letter.text}", encoding="utf-8", newline="\n")
