"""The form of a loan as plain text, for a printer or an e-mail; the same words as the sheet."""

from textwrap import wrap

from obslog.club.forms.loan_sheet import Labelled, at_the_beginning, at_the_end, signatures
from obslog.club.forms.loan_words import EVERY_TIME, GO_TO_MOUNTS, SAFETY, THE_SUN
from obslog.club.register.contacts import Reach
from obslog.club.storeroom.loan_pages import LoanPage
from obslog.vocabulary.cautions import FOLLOW_RULES

WIDTH = 78
TWO_BOXES = "[ ]  [ ]  "


def loan_form(page: LoanPage, reach: Reach, statements: tuple[str, ...]) -> str:
    """Plain text with what the borrower agrees to.

    What is not on record, or not handed in of how the borrower is reached, is a line to write on.
    """
    loan = page.loan
    return "\n".join(
        [
            f"LOAN OF {loan.what.upper()}    reference {loan.reference}",
            "",
            *map(_line, at_the_beginning(page, reach)),
            "",
            f"{'out':<5}{'in':<5}{'part':<36}condition out",
            *(_part(part.part, part.condition_out, part.note_out) for part in page.parts),
            *(f"{' ' * len(TWO_BOXES)}{part}: stayed behind" for part in page.left_behind),
            "",
            *_boxes("Every time", EVERY_TIME),
            *_boxes("Go-to mounts", GO_TO_MOUNTS),
            *_statements("THE SUN CAN BLIND AT ONCE:", THE_SUN),
            *_statements("Safety:", SAFETY),
            *_statements("The loan:", statements),
            FOLLOW_RULES,
            "",
            *map(_line, signatures(page)),
            "",
            *map(_line, at_the_end(page)),
            "",
        ]
    )


def _line(labelled: Labelled) -> str:
    name, value = labelled
    return f"{name + ':':<22}{value or '_' * (WIDTH - 22)}"


def _part(name: str, condition: str | None, words: str | None) -> str:
    told = (condition or "") + (f": {words}" if words else "")
    return f"{TWO_BOXES}{name:<36}{told or '_' * 14}"


def _statements(title: str, statements: tuple[str, ...]) -> list[str]:
    return [title, *_each_behind("- ", statements), ""]


def _boxes(title: str, rows: tuple[str, ...]) -> list[str]:
    return [f"{title} (out / in):", *_each_behind(TWO_BOXES, rows), ""]


def _each_behind(mark: str, texts: tuple[str, ...]) -> list[str]:
    """The texts in lines, each behind the mark and as far in as it begins."""
    return [
        line for text in texts for line in wrap(f"{mark}{text}", WIDTH, subsequent_indent=" " * len(mark))
    ]
