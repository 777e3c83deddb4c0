"""How members are reached: written by the officer, and shown to the officer alone."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.named_records import listed, shown
from obslog.errors import NothingToChange, WrongInput
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.nameless import refuse_who_left
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.storeroom import Contact

FIELDS = {"phone": fields.PHONE, "email": fields.EMAIL, "address": fields.ADDRESS}


class NoEmail(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(f"{text!r} is no e-mail address.", "Write it like name@example.org.")


@dataclass(frozen=True, slots=True)
class ContactOnRecord:
    """Which ways to reach a member are on record; what they are is not repeated."""

    member: str
    on_record: list[str]


@dataclass(frozen=True, slots=True)
class Reach:
    """How a member is reached; None where it is not known."""

    phone: str | None = None
    email: str | None = None
    address: str | None = None


def set_contact(database: Database, name: str, values: Mapping[str, str], now: datetime) -> ContactOnRecord:
    """Write down `phone`, `email` or `address` of a member of that whole name; an empty text takes what is there away.

    Raises UnknownName, NothingToChange, UnusableText, NoEmail, HasLeft.
    """
    if not values:
        raise NothingToChange(f"the contact of {name}")
    checked = {column: checked_reach(column, text) for column, text in values.items()}
    with database.write(now, "write down how a member is reached") as session:
        member = by_name(session, Member, name, whole=True)
        refuse_who_left(member.name)
        contact = contact_of(session, member) or Contact(member_id=member.id)
        for column, text in checked.items():
            setattr(contact, column, text)
        on_record = [column for column in FIELDS if getattr(contact, column) is not None]
        if on_record:
            session.add(contact)
        elif contact in session:
            session.delete(contact)
        return ContactOnRecord(member.name, on_record)


def reach_of(database: Database, name: str) -> Reach:
    """How a member is reached. Raises UnknownName."""
    with database.read() as session:
        contact = contact_of(session, by_name(session, Member, name))
        return Reach(contact.phone, contact.email, contact.address) if contact else Reach()


def contact_of(session: Session, member: Member) -> Contact | None:
    return session.scalar(select(Contact).where(Contact.member_id == member.id))


def member_with_contact(database: Database, name: str) -> dict[str, Any]:
    """A member with all that is on record, how to reach them too. Raises UnknownName."""
    reach = reach_of(database, name)
    return shown(database, "member", name) | {column: getattr(reach, column) for column in FIELDS}


def members_with_contacts(database: Database, *, with_retired: bool = False) -> list[dict[str, Any]]:
    """All members by name, with how to reach them."""
    query = select(Member.name, Contact.phone, Contact.email, Contact.address).join(
        Contact, Contact.member_id == Member.id
    )
    with database.read() as session:
        known = {name: (phone, email, address) for name, phone, email, address in session.execute(query)}
    return [
        member | dict(zip(FIELDS, known.get(member["name"], (None, None, None)), strict=True))
        for member in listed(database, "member", with_retired=with_retired)
    ]


def checked_reach(column: str, text: str) -> str | None:
    """A phone number, e-mail or postal address that may be kept; None for a blank. Raises UnusableText, NoEmail."""
    if not text.strip():
        return None
    text = FIELDS[column].checked(text)
    if column == "email":
        name, _, host = text.partition("@")
        if not name or not host or " " in text or "@" in host:
            raise NoEmail(text)
    return text
