"""Members from a sheet, with how they are reached."""

from collections.abc import Iterator
from typing import Any
from uuid import UUID

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake, Outcome, change_words, differences
from obslog.club.register.contacts import FIELDS, checked_reach
from obslog.club.register.typed_values import checked_name
from obslog.english import enumerated
from obslog.errors import ObslogError
from obslog.records.nameless import HasLeft, has_left
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.storeroom import Contact


def members_in(intake: Intake) -> None:
    """Find out what each row makes or changes. How members are reached is not repeated in words."""
    known = {key: (record, values) for key, record, values in _on_record(intake)}
    contacts: dict[UUID, UUID] = dict(intake.session.execute(select(Contact.member_id, Contact.id)).all())
    for row in intake.rows:
        try:
            told = _told(row.values)
        except ObslogError as error:
            intake.refuse(row.line, "", error)
            continue
        key = name_key(told["name"])
        found = known.get(key)
        reach = {column: told.get(column) for column in FIELDS}
        if found is None:
            values = {"name": told["name"], "note": told.get("note")}
            member = intake.add(Member, **values, name_key=key)
            known[key] = (member, values | reach)
            intake.told(row.line, told["name"], Outcome.NEW, _reach_words(reach), record=member)
        else:
            member, values = found
            changes = differences(values, {"note": told.get("note"), **reach})
            if changes and has_left(values["name"]):
                intake.refuse(row.line, "name", HasLeft(values["name"]))
                continue
            words = change_words(values, {c: v for c, v in changes.items() if c not in FIELDS})
            values.update(changes)
            intake.change(Member, member, {c: v for c, v in changes.items() if c not in FIELDS})
            reach = {c: v for c, v in changes.items() if c in FIELDS}
            outcome = Outcome.CHANGED if changes else Outcome.SAME
            words = ", ".join(filter(None, (words, _reach_words(reach))))
            intake.told(row.line, values["name"], outcome, words, record=member)
        _write_reach(intake, contacts, member, reach)


def _write_reach(intake: Intake, contacts: dict[UUID, UUID], member: UUID, reach: dict[str, Any]) -> None:
    if not any(value is not None for value in reach.values()):
        return
    if member in contacts:
        intake.change(Contact, contacts[member], reach)
    else:
        contacts[member] = intake.add(Contact, member_id=member, **{c: reach.get(c) for c in FIELDS})


def _told(values: Any) -> dict[str, Any]:
    told = dict(values)
    told["name"] = checked_name("member", told["name"])
    for column in FIELDS:
        if column in told:
            told[column] = checked_reach(column, told[column])
    return told


def _reach_words(reach: dict[str, Any]) -> str:
    """Which ways to reach somebody are given; never what they are."""
    given = [column for column, value in reach.items() if value is not None]
    return f"with {enumerated(given)}" if given else ""


def _on_record(intake: Intake) -> Iterator[tuple[str, UUID, dict[str, Any]]]:
    query = select(
        Member.name_key, Member.id, Member.name, Member.note, Contact.phone, Contact.email, Contact.address
    ).outerjoin(Contact, Contact.member_id == Member.id)
    for key, record, *values in intake.session.execute(query):
        yield key, record, dict(zip(("name", "note", *FIELDS), values, strict=True))
