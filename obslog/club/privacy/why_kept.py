"""Why the club keeps what it keeps about a member: a reason in words for each place in the records that names one.

`untold` finds a column that refers to members and has no reason here; a test fails for it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Column, MetaData, Table


@dataclass(frozen=True, slots=True)
class WhyKept:
    """What the rows are, as a heading, and why they are kept."""

    title: str
    why: str


_LOANS = "So that the club knows who has, and had, what is its own, in what condition, and until when."
_TWICE = "So that nobody is reminded twice of the same loan."
WHY: Mapping[str, WhyKept] = {
    "contacts.member_id": WhyKept(
        "How you are reached",
        "So that the officer can ask for what is due and tell you when it is your turn. Shown to the officer alone.",
    ),
    "attendances.member_id": WhyKept(
        "Nights on which you were present", "So that a night's page tells who can be asked about it."
    ),
    "setups.member_id": WhyKept(
        "Set-ups that you made",
        "So that a mount's errors can be told apart from those of whoever aligned it, and your checklist fits you.",
    ),
    "arrivals.member_id": WhyKept(
        "Arrivals that you recorded",
        "So that differences between people can be told apart from those of a mount.",
    ),
    "observations.member_id": WhyKept(
        "What you observed", "Your observing record: it is yours, and shows how far you are through a list."
    ),
    "snags.member_id": WhyKept(
        "Snags that you met",
        "So that somebody can ask you what happened, and your next checklist looks there first.",
    ),
    "ticks.member_id": WhyKept(
        "Steps of the checklist that you did",
        "So that the checklist learns what usually goes wrong, and for whom.",
    ),
    "services.member_id": WhyKept(
        "Services that you did", "So that whoever looks after an item can ask who worked on it last."
    ),
    "stocktakes.member_id": WhyKept(
        "Stocktakes that you began", "So that it can be asked how the shelves were counted."
    ),
    "loans.member_id": WhyKept("Loans to you", _LOANS),
    "loans.issued_by_id": WhyKept(
        "Loans that you handed out", "So that it can be asked in what condition an item went out."
    ),
    "loans.received_by_id": WhyKept(
        "Loans that you took back", "So that it can be asked in what condition an item came back."
    ),
    "reservations.member_id": WhyKept(
        "Places in waiting lists", "So that what is wanted by several goes to whoever asked first."
    ),
}
"""By the table and column that refers to a member."""

THROUGH: tuple[tuple[str, str, str, WhyKept], ...] = (
    (
        "loan_parts",
        "loan_id",
        "loans",
        WhyKept("What your loans consisted of, with conditions and faults", _LOANS),
    ),
    (
        "arrivals",
        "setup_id",
        "setups",
        WhyKept(
            "Arrivals in your set-ups for which nobody else is named",
            "So that differences between people can be told apart from those of a mount.",
        ),
    ),
    ("renewals", "loan_id", "loans", WhyKept("Renewals of your loans", _LOANS)),
    ("reminders", "loan_id", "loans", WhyKept("Reminders about your loans", _TWICE)),
    ("calls", "loan_id", "loans", WhyKept("Telephone calls about your loans", _TWICE)),
    ("reminders", "reservation_id", "reservations", WhyKept("Letters that it is your turn", _TWICE)),
)
"""Rows that hang on rows that are a member's own: their table, the column that refers to these, and whose it is."""

NOT_SAID = WhyKept("More rows that refer to you", "No reason is written down for these; ask the officer.")


def referring(metadata: MetaData, to: str = "members") -> list[tuple[Table, Column[object]]]:
    """Every column that refers to a table, in the order of the tables."""
    return [
        (table, column)
        for table in metadata.sorted_tables
        for column in table.columns
        if any(key.column.table.name == to for key in column.foreign_keys)
    ]


def untold(metadata: MetaData) -> list[str]:
    """Columns that refer to members, of which nobody is told why they are kept."""
    return [
        name for table, column in referring(metadata) if (name := f"{table.name}.{column.name}") not in WHY
    ]
