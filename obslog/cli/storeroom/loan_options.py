"""What the commands on loans share: their arguments and options, and how a loan is shown."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import Note, On, day
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.storeroom.loan_pages import LoanPage
    from obslog.club.storeroom.loans import How
    from obslog.records.database import Database

KitOrItem = Annotated[str, typer.Argument(help="The kit, or a single item.", show_default=False)]
Which = Annotated[
    str, typer.Argument(help="The kit or item, or the reference of the loan.", show_default=False)
]
MemberName = Annotated[str, typer.Argument(help="The member.", show_default=False)]
Parts = Annotated[
    list[str] | None,
    typer.Option(
        "--part",
        help="The condition of a part: 'PART=good', worn, damaged or missing, or the club's own words, and ': words' "
        "if there is more to say; once for each part.",
    ),
]
AllGood = Annotated[bool, typer.Option("--all-good", help="All other parts were checked and are good.")]


@dataclass(frozen=True, slots=True, kw_only=True)
class GoingOptions:
    """How a loan goes out, from the store or from its borrower."""

    on: On = None
    due: Annotated[
        date | None, day("--due", help="The day it is due back.", show_default="by the loan term")
    ] = None
    parts: Parts = None
    all_good: AllGood = False
    terms: Annotated[
        bool | None,
        typer.Option("--terms/--no-terms", help="The borrower agreed to the terms.", show_default=False),
    ] = None
    trained: Annotated[
        bool | None,
        typer.Option(
            "--trained/--not-trained", help="The borrower was shown how to use it.", show_default=False
        ),
    ] = None
    deposit: Annotated[
        float | None, typer.Option("--deposit", help="The deposit, in the club's currency.")
    ] = None
    pass_over: Annotated[bool, typer.Option("--pass-over", help="Lend it although others wait.")] = False
    note: Note = None

    def how(self, database: "Database", terms_agreed: bool | None) -> "How":
        """As lending and handing over take it."""
        from obslog.club.routine.condition_words import read_words
        from obslog.club.routine.part_conditions import read_conditions
        from obslog.club.storeroom.loan_records import Papers

        return {
            "on": self.on,
            "due": self.due,
            "conditions": read_conditions(self.parts or [], read_words(database)),
            "all_good": self.all_good,
            "papers": Papers(
                terms_agreed=terms_agreed, trained=self.trained, deposit=self.deposit, note=self.note
            ),
            "pass_over": self.pass_over,
        }


def with_names_told(page: "LoanPage", officer: bool, but: str | None = None) -> "LoanPage":
    """The loan as the person asking may see it: borrowers are named to the officer, else only whom one named."""
    from obslog.club.storeroom.loan_pages import page_without_names

    return page if officer else page_without_names(page, but)


def show_loan_page(screen: Screen, page: "LoanPage") -> None:
    from obslog.money import known_money

    loan = page.loan
    back = f"back on {loan.back_on}" if loan.back_on else f"due {loan.due_on}"
    who = f"{loan.member}, " if loan.member else ""
    screen.line(f"{loan.what}: {who}out {loan.out_on}, {back}", style="bold")
    screen.table(
        ["part", "out", "in", "difference", "remarks"],
        [[p.part, p.condition_out, p.condition_in, p.differs, p.note_in or p.note_out] for p in page.parts],
    )
    for part in page.parts:
        if part.fault is not None:
            whose = "; not held against the borrower" if part.came_with_it else ""
            screen.line(f"fault reported on {part.fault_on}{whose}: {part.part}: {part.fault}")
    for label in page.left_behind:
        screen.line(f"stayed behind: {label}")
    known = (
        ("reference", loan.reference),
        ("handed over from", page.handed_over_from),
        ("issued by", page.issued_by),
        ("received by", page.received_by),
        ("terms agreed", page.terms_agreed),
        ("trained", page.trained),
        ("deposit", known_money(page.deposit, page.currency)),
        ("deposit returned", page.deposit_returned),
        ("times extended", loan.renewals or None),
        ("waiting", loan.waiting or None),
        ("note", page.note),
    )
    screen.fields((name, value) for name, value in known if value is not None)
