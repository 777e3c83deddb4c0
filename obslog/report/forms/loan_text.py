"""The form of a loan to print: what clubs' agreements ask for, a box for each part, and what to look at out and in."""

from textwrap import wrap

from obslog.club.register.contacts import Reach
from obslog.club.storeroom.loan_pages import LoanPage
from obslog.money import known_money
from obslog.vocabulary import FOLLOW_RULES

WIDTH = 78
THE_SUN = (
    "I never point the telescope or its finder at or near the Sun without the club's own filter over the whole front.",
    "The finder stays capped or off by day. I never use a filter that screws into an eyepiece: it can crack.",
    "I never leave it uncovered and alone by day, nor children alone with it.",
)
SAFETY = (
    "I lift with a second person whatever I cannot hold safely alone. The counterweights go on before the tube, "
    "and the tube comes off before the counterweights.",
    "I charge batteries on a hard surface, in air, never unattended and never below 0 °C, with the terminals capped "
    "when they are not in use. A swollen, hot or leaking one I leave alone, and tell the club.",
    "I never point a laser at a person, an animal, a vehicle or an aircraft, look before and while it is on, and "
    "keep it from children. A collimation laser never shines toward an eye.",
)
STATEMENTS = (
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
    "switches on; both axes slew at full speed each way; clutches hold",
    "how much the end of the tube can be rocked",
    "hand controller: display and keys; pins of the cables",
    "power lead: polarity and fuse",
    "counterweights, end stop of the bar, saddle screws, latitude bolts, spreader, hex keys",
    "settings and site reset to the club's values; the last borrower's place deleted",
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
            _line("Deposit", known_money(page.deposit, page.currency)),
            _line("Training done", _yes_no(page.trained)),
            _line("Terms agreed to", _yes_no(page.terms_agreed)),
            _line("Note", page.note),
            "",
            f"{'out':<5}{'in':<5}{'part':<36}condition out",
            *(_part(part.part, part.condition_out, part.note_out) for part in page.parts),
            *(f"{'':<10}{part}: stayed behind" for part in page.left_behind),
            "",
            *_boxes("Every time", EVERY_TIME),
            *_boxes("Go-to mounts", GO_TO_MOUNTS),
            *_statements("THE SUN CAN BLIND AT ONCE:", THE_SUN),
            *_statements("Safety:", SAFETY),
            *_statements("The loan:", STATEMENTS),
            FOLLOW_RULES,
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


def _statements(title: str, statements: tuple[str, ...]) -> list[str]:
    lines = [line for told in statements for line in wrap(f"- {told}", WIDTH, subsequent_indent="  ")]
    return [title, *lines, ""]


def _boxes(title: str, rows: tuple[str, ...]) -> list[str]:
    lines = [line for row in rows for line in wrap(f"[ ]  [ ]  {row}", WIDTH, subsequent_indent=" " * 10)]
    return [f"{title} (out / in):", *lines, ""]


def _yes_no(value: bool | None) -> str | None:
    return None if value is None else "yes" if value else "no"
