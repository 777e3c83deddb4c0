"""The form of a loan: who has what until when, each part with its condition out and in, what is agreed, signatures."""

from collections.abc import Iterator
from datetime import date

from obslog.club.forms.blocks import (
    Block,
    Box,
    Boxes,
    Caution,
    Column,
    ColumnKind,
    Explanation,
    Form,
    Heading,
    Table,
    Task,
    Ticks,
)
from obslog.club.forms.loan_words import EVERY_TIME, GO_TO_MOUNTS, SAFETY, THE_SUN
from obslog.club.register.contacts import Reach, reach_of
from obslog.club.routine.condition_words import read_words
from obslog.club.routine.loan_terms import read_terms
from obslog.club.storeroom.loan_pages import LoanPage, LoanPartLine, page_without_names, show_loan
from obslog.money import known_money
from obslog.records.database import Database
from obslog.vocabulary.cautions import FOLLOW_RULES

Labelled = tuple[str, str | None]
OUT_AND_IN = ("out", "in")
SPARE_ROWS = 2
LONGEST_NOTE_IN_A_BOX = 100
SHARES = {"Address": 2.0, "Phone and e-mail": 2.0, "Borrower's signature": 2.0, "Condition": 2.0}


def loan_sheet(
    database: Database, handle: str, today: date, *, kind: str | None = None, with_names: bool = False
) -> Form:
    """The form of the open loan of a kit or item, or of that reference; the borrower's name only `with_names`.

    Raises NoSuchLoan.
    """
    page = show_loan(database, handle, today, kind)
    borrower = page.loan.member
    reach = reach_of(database, borrower) if with_names and borrower else Reach()
    if not with_names:
        page = page_without_names(page)
    return Form(
        title=f"Loan of {page.loan.what}",
        about=f"reference {page.loan.reference}",
        dated=page.loan.out_on,
        blocks=tuple(_blocks(page, reach, read_words(database).listed, read_terms(database).statements)),
    )


def part_columns(words: tuple[str, ...]) -> tuple[Column, ...]:
    """The columns of the table of parts, with the words for their condition to be ringed."""
    return (
        Column(title="out", share=6, kind=ColumnKind.TICK),
        Column(title="in", share=6, kind=ColumnKind.TICK),
        Column(title="part", share=30),
        Column(title="condition out", share=29, kind=ColumnKind.RING, words=words),
        Column(title="condition in", share=29, kind=ColumnKind.RING, words=words),
    )


def at_the_beginning(page: LoanPage, reach: Reach) -> list[Labelled]:
    """What is said of the loan; None is a line to write on."""
    loan = page.loan
    return [
        ("Borrower", loan.member),
        ("Address", reach.address and " ".join(reach.address.split())),
        ("Phone and e-mail", ", ".join(filter(None, (reach.phone, reach.email))) or None),
        ("Member until", None),
        ("Out on", f"{loan.out_on}"),
        ("Due back on", f"{loan.due_on}"),
        ("Deposit", known_money(page.deposit, page.currency)),
        ("Training done", _yes_no(page.trained)),
        ("Terms agreed to", _yes_no(page.terms_agreed)),
        ("Note", page.note),
    ]


def signatures(page: LoanPage) -> list[Labelled]:
    """Who signs when it goes out."""
    return [("Borrower's signature", None), ("Officer", page.issued_by)]


def at_the_end(page: LoanPage) -> list[Labelled]:
    """What is said when it is back."""
    return [
        ("Back on", f"{page.loan.back_on}" if page.loan.back_on else None),
        ("Condition", None),
        ("Deposit returned", _yes_no(page.deposit_returned)),
        ("Officer", page.received_by),
    ]


def _blocks(
    page: LoanPage, reach: Reach, words: tuple[str, ...], statements: tuple[str, ...]
) -> Iterator[Block]:
    boxes = _boxes(at_the_beginning(page, reach))
    for first, last in ((0, 2), (2, 4), (4, 7), (7, 9)):
        yield Boxes(boxes[first:last])
    yield _note(boxes[-1])
    yield Heading("Parts")
    yield Explanation("Tick each part and ring its condition, when it goes out and when it is back.")
    rows = tuple(map(_part, page.parts))
    yield Table(columns=part_columns(words), rows=rows, blank_rows=SPARE_ROWS, writing=True)
    for part in page.left_behind:
        yield Explanation(f"{part}: stayed behind")
    yield Heading("Every time")
    yield Ticks(OUT_AND_IN, tuple(Task(title=words) for words in EVERY_TIME))
    yield Heading("Go-to mounts")
    yield Ticks(OUT_AND_IN, tuple(Task(title=words) for words in GO_TO_MOUNTS))
    yield Caution(("THE SUN CAN BLIND AT ONCE:", *THE_SUN))
    yield Heading("Safety")
    yield from map(Explanation, SAFETY)
    yield Heading("The loan")
    yield from map(Explanation, (*statements, FOLLOW_RULES))
    yield Boxes(_boxes(signatures(page)))
    yield Heading("When it is back")
    yield Boxes(_boxes(at_the_end(page)))


def _note(box: Box) -> Block:
    """The note in a box; one that a box would cut is told whole, for it is part of what is agreed."""
    if box.filled and len(box.filled) > LONGEST_NOTE_IN_A_BOX:
        return Explanation(f"{box.label}: {box.filled}")
    return Boxes((box,))


def _boxes(labelled: list[Labelled]) -> tuple[Box, ...]:
    return tuple(Box(label=label, filled=value, share=SHARES.get(label, 1.0)) for label, value in labelled)


def _part(part: LoanPartLine) -> tuple[str, ...]:
    return (
        "",
        "",
        part.part,
        _condition(part.condition_out, part.note_out),
        _condition(part.condition_in, part.note_in),
    )


def _condition(condition: str | None, words: str | None) -> str:
    """What was written down; empty where nobody looked, for one of the words to be ringed."""
    return (condition or "") + (f": {words}" if words else "")


def _yes_no(value: bool | None) -> str | None:
    return None if value is None else "yes" if value else "no"
