"""A loan's form to print: what agreements of clubs ask for, a box for each part, and what to look at out and in."""

from obslog.club.register.contacts import Reach
from obslog.club.storeroom.loan_pages import LoanPage

WIDTH = 78
STATEMENTS = (
    "I never point the telescope at or near the Sun without the club's front filter.",
    "I do not lend it on, take it apart, or adjust its optics.",
    "I keep it dry and under cover, caps on, and carry it secured.",
    "I report damage or loss at once, and pay for it as the club's rules say.",
    "I bring it back by the due date, or ask before that date to keep it longer.",
)
EVERY_TIME = (
    "contents against the list above",
    "finder: battery alive and OFF; aligned",
    "no dents, cracks or loose parts; caps on; focuser in",
)
GO_TO_MOUNTS = (
    "powers up; both axes slew at full speed each way; clutches hold",
    "play at the end of the tube",
    "hand controller: display and keys; pins of the cables",
    "power lead: polarity and fuse",
    "counterweights, end stop of the bar, saddle screws, latitude bolts, spreader, hex keys",
    "firmware and site reset to the club's values; the last borrower's place wiped",
)


def loan_form(page: LoanPage, reach: Reach) -> str:
    """Plain text; what is not on record, or not handed in of how the borrower is reached, is a line to write on."""
    loan = page.loan
    return "\n".join(
        [
            f"LOAN OF {loan.what.upper()}    reference {loan.reference}",
            "",
            _line("Borrower", loan.member),
            _line("Address", reach.address and " ".join(reach.address.split())),
            _line("Phone and e-mail", ", ".join(filter(None, (reach.phone, reach.email)))),
            _line("Member until"),
            _line("Out on", f"{loan.out_on}"),
            _line("Due back on", f"{loan.due_on}"),
            _line("Deposit", None if page.deposit is None else f"{page.deposit:g}"),
            _line("Training done", _yes_no(page.trained)),
            _line("Terms agreed", _yes_no(page.terms_agreed)),
            _line("Note", page.note),
            "",
            f"{'out':<5}{'in':<5}{'part':<36}condition out",
            *(_part(part.part, part.condition_out, part.note_out) for part in page.parts),
            *(f"{'':<10}{part}: stayed behind" for part in page.left_behind),
            "",
            *_boxes("Every time", EVERY_TIME),
            *_boxes("Go-to mounts", GO_TO_MOUNTS),
            "The borrower:",
            *(f"- {statement}" for statement in STATEMENTS),
            "",
            _line("Borrower's signature"),
            _line("Officer", page.issued_by),
            "",
            _line("Back on", f"{loan.back_on}" if loan.back_on else None),
            _line("Condition"),
            _line("Deposit returned", _yes_no(page.deposit_returned)),
            _line("Officer", page.received_by),
            "",
        ]
    )


def _line(name: str, value: str | None = None) -> str:
    return f"{name + ':':<22}{value or '_' * (WIDTH - 22)}"


def _part(name: str, condition: str | None, words: str | None) -> str:
    told = condition or ""
    return f"[ ]  [ ]  {name:<36}{told + (f': {words}' if words else '') or '______________'}"


def _boxes(title: str, rows: tuple[str, ...]) -> list[str]:
    return [f"{title} (out / in):", *(f"[ ]  [ ]  {row}" for row in rows), ""]


def _yes_no(value: bool | None) -> str | None:
    return None if value is None else "yes" if value else "no"
