"""What is on record, as rows of the sheets by which it can be brought in."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.bring_in.items_in import items_on_record
from obslog.club.bring_in.observations_out import ObservationChoice, observation_rows
from obslog.club.register.contacts import FIELDS
from obslog.club.storeroom.custody import StoreStatus, state_of
from obslog.errors import ObslogError
from obslog.exchange.spreadsheets.columns import kinds
from obslog.exchange.spreadsheets.writing import blank_rows, check_ending, csv_text, write_spreadsheet
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import output_in_sentences
from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.equipment import Equipment, Service
from obslog.records.tables.lending import Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.storeroom import Contact, ServiceBill
from obslog.vocabulary.storeroom import Condition

Rows = list[dict[str, Any]]
_HIDDEN: Mapping[str, Sequence[str]] = {"members": tuple(FIELDS), "items": ("valued_by",)}
"""What is for the officer alone."""
_KEYS = {"items": select(Equipment.id), "kits": select(Kit.id)}
_GONE = (StoreStatus.RETIRED, StoreStatus.WRITTEN_OFF)


class NamesOfBorrowers(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "A sheet of loans names the borrowers.", "Whoever looks after the equipment adds --officer."
        )


def sheet_rows(database: Database, kind: str, *, officer: bool = False) -> Rows:
    """All rows of a sheet of that kind; how members are reached, and who valued an item, only for the officer.

    Items and kits that are retired or written off are left out: where the sheet is brought in they would be in use.
    Raises NamesOfBorrowers.
    """
    if kind == "loans" and not officer:
        raise NamesOfBorrowers
    with database.read() as session:
        rows = _ROWS[kind](session)
    hidden = () if officer else _HIDDEN.get(kind, ())
    return [{column: value for column, value in row.items() if column not in hidden} for row in rows]


def gone_from_sheet(database: Database, kind: str) -> int:
    """How many items or kits a sheet of that kind leaves out, because they are retired or written off."""
    if kind not in _KEYS:
        return 0
    with database.read() as session:
        return len(_gone(session).intersection(session.scalars(_KEYS[kind])))


def chosen_observations(database: Database, choice: ObservationChoice) -> Rows:
    """The observations that are chosen, as rows of their sheet. Raises UnknownName."""
    with database.read() as session:
        return observation_rows(session, choice)


def sheet_as_csv(kind: str, rows: Rows) -> str:
    """The rows as text of a CSV sheet."""
    heads = [column.name for column in kinds()[kind].columns if column.given_out]
    return csv_text(heads, ([row.get(head) for head in heads] for row in rows))


def write_sheet_to(path: Path, kind: str, rows: Rows, *, blank: bool = False) -> int:
    """Write the rows into a file, whole or not at all; gives their number. Raises NoSheetName."""
    check_ending(path)
    private = kind in ("members", "loans")  # who has what, and how people are reached
    with (
        output_in_sentences(path),
        whole_file(path, private=private) as unfinished,
        unfinished.open("wb") as file,
    ):
        return write_spreadsheet(file, path, kinds()[kind], rows, blank=blank)


def write_blank_to(path: Path, kind: str) -> None:
    """Write a sheet with the heads and one row of examples. Raises NoSheetName."""
    write_sheet_to(path, kind, blank_rows(kinds()[kind]), blank=True)


def _members(session: Session) -> Rows:
    query = (
        select(Member.name, Contact.phone, Contact.email, Contact.address, Member.note)
        .outerjoin(Contact, Contact.member_id == Member.id)
        .order_by(Member.name_key)
    )
    return [dict(zip(("name", *FIELDS, "note"), row, strict=True)) for row in session.execute(query)]


def _items(session: Session) -> Rows:
    gone = _gone(session)
    items = (item for item in items_on_record(session).items.values() if item.key not in gone)
    by_name = sorted(items, key=lambda item: (name_key(item.values["name"]), item.kind))
    return [{**item.values, "kind": item.kind} for item in by_name]


def _gone(session: Session) -> set[UUID]:
    """The keys of all items and kits that are retired or written off, and not on loan."""
    return {key for key, now in state_of(session).items() if now.status in _GONE}


def _kits(session: Session) -> Rows:
    gone = _gone(session)
    parts: dict[Any, list[str]] = {}
    present = select(KitPart.kit_id, KitPart.label).where(KitPart.left_on.is_(None)).order_by(KitPart.id)
    for kit_id, label in session.execute(present):
        parts.setdefault(kit_id, []).append(label)
    return [
        {
            "name": kit.name,
            "parts": "; ".join(parts.get(kit.id, [])) or None,
            "loan_days": kit.loan_days,
            "weight_kg": kit.weight_kg,
            "note": kit.note,
        }
        for kit in session.scalars(select(Kit).order_by(Kit.name_key))
        if kit.id not in gone
    ]


def _loans(session: Session) -> Rows:
    query = (
        select(Loan, Member.name, Kit.name, Equipment.name)
        .join(Member, Loan.member_id == Member.id)
        .outerjoin(Kit, Loan.kit_id == Kit.id)
        .outerjoin(Equipment, Loan.equipment_id == Equipment.id)
        .order_by(Loan.out_on, Loan.id)
    )
    columns, conditions = ("out_on", "due_on", "back_on", "deposit", "note"), _conditions_back(session)
    return [
        {
            "item": kit or item,
            "member": member,
            **{column: getattr(loan, column) for column in columns},
            "condition": conditions.get(loan.id),
        }
        for loan, member, kit, item in session.execute(query)
    ]


def _conditions_back(session: Session) -> dict[UUID, str]:
    """How each item that was lent by itself came back, in the club's own word where there is one.

    Of a kit each part has its own, which a row cannot say; one that is missing did not come back.
    """
    query = (
        select(LoanPart.loan_id, LoanPart.condition_in, LoanPart.word_in)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .where(
            Loan.kit_id.is_(None),
            LoanPart.condition_in.is_not(None),
            LoanPart.condition_in != Condition.MISSING,
        )
    )
    return {loan: word or f"{condition}" for loan, condition, word in session.execute(query)}


def _services(session: Session) -> Rows:
    query = (
        select(Service, Equipment.name, Member.name, ServiceBill)
        .join(Equipment, Service.equipment_id == Equipment.id)
        .outerjoin(Member, Service.member_id == Member.id)
        .outerjoin(ServiceBill, ServiceBill.service_id == Service.id)
        .order_by(Service.done_on, Service.id)
    )
    return [
        {
            "item": item,
            "done_on": service.done_on,
            "text": service.text,
            "mechanical": service.mechanical,
            "by": by,
            "cost": bill.cost if bill else None,
            "parts": bill.parts if bill else None,
            "next_on": bill.next_on if bill else None,
        }
        for service, item, by, bill in session.execute(query)
    ]


_ROWS: Mapping[str, Callable[[Session], Rows]] = {
    "members": _members,
    "items": _items,
    "kits": _kits,
    "loans": _loans,
    "services": _services,
    "observations": observation_rows,
}
