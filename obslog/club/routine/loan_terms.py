"""What a borrower agrees to, and how often a loan may be extended: the club's own terms, or those that ship.

How long a loan lasts is a rule of the rule book, `loan-days`: the file only sets it. What concerns safety is no term:
it stands on every form whatever the club agrees on.
"""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.database import Database
from obslog.records.tables.officer import LoanTerms

SHIPPED_STATEMENTS: tuple[str, ...] = (
    "I do not lend it on, take it apart, or adjust its optics.",
    "I keep it dry and under cover, caps on, and carry it secured.",
    "I report damage or loss at once, and pay for it as the club's rules say.",
    "I bring it back by the due date, or ask before that date to keep it longer.",
)


@dataclass(frozen=True, slots=True)
class Terms:
    """What a borrower agrees to; `renewals` is how often a loan may be extended, None as often as asked."""

    statements: tuple[str, ...] = SHIPPED_STATEMENTS
    renewals: int | None = None

    @property
    def own(self) -> bool:
        """Whether the club has statements of its own, so that a borrower is asked."""
        return self.statements != SHIPPED_STATEMENTS


def terms_in_force(session: Session) -> Terms:
    """The club's terms, or where it has none those that ship."""
    row = session.scalar(select(LoanTerms))
    if row is None:
        return Terms()
    return Terms(tuple(row.text.split("\n")) if row.text else SHIPPED_STATEMENTS, row.renewals)


def read_terms(database: Database) -> Terms:
    """The terms in force, in a session of their own."""
    with database.read() as session:
        return terms_in_force(session)
