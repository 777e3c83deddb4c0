"""Two spellings of one member made one: all that refers to the other is moved in one act, which one undo takes back."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from obslog.club.privacy.why_kept import referring
from obslog.club.register.contacts import FIELDS
from obslog.english import counted
from obslog.errors import ObslogError, WrongInput
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name
from obslog.records.nameless import has_left
from obslog.records.tables.base import Base
from obslog.records.tables.lending import Loan, Reservation
from obslog.records.tables.logbook_tables import Attendance, Member, Night, SameRecord
from obslog.records.tables.schema import metadata
from obslog.records.tables.storeroom import Contact

MOST_NIGHTS_SAID = 3
OfMember = Attendance | Contact | Reservation


class SameMember(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is one member already.", "Name two: obslog member same NAME OTHER")


class HasNoNameAnyMore(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} left, and their name was removed.", "Joining would tell again who they were."
        )


class TwoPeople(ObslogError):
    def __init__(self, kept: str, other: str, signs: Sequence[str]) -> None:
        super().__init__(
            f"{kept} and {other} look like two people: {'; '.join(signs)}.",
            "If they are one all the same, add --sure. Nothing was changed.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Two names made one, or where one only looked would be: how many records of each table are
    moved, the note that keeps the other name, and what speaks for two people."""

    kept: str
    other: str
    done: bool
    moved: dict[str, int]
    note: str
    two_people: list[str]


def join_members(
    database: Database, kept: str, other: str, now: datetime, *, sure: bool = False, only_look: bool = False
) -> Joined:
    """Move everything of the member `other` to `kept`, take the other name out of use, and keep it in the note.

    Raises UnknownName, WholeNameNeeded, SameMember, HasNoNameAnyMore, and TwoPeople unless `sure` or one only looks.
    """
    with database.write(now, "join two members") as session:
        stays, goes = (by_name(session, Member, name, whole=True) for name in (kept, other))
        names = stays.name, goes.name
        if stays is goes:
            raise SameMember(stays.name)
        for name in names:
            if has_left(name):
                raise HasNoNameAnyMore(name)
        signs = list(_signs_of_two(session, stays, goes))
        if signs and not sure and not only_look:
            raise TwoPeople(*names, signs)
        found = _referring(session, goes)
        joined = Joined(
            kept=stays.name,
            other=goes.name,
            done=not only_look,
            moved=_counted(found),
            note=_note(stays, goes),
            two_people=signs,
        )
        if not only_look:
            call_act(session, f"join {goes.name} to {stays.name}")
            _join(session, stays, goes, joined.note, found)
    return joined


def _join(
    session: Session, stays: Member, goes: Member, note: str, referring: Sequence[tuple[Any, str]]
) -> None:
    for record, column in referring:
        if isinstance(record, OfMember) and (twin := _twin(session, record, stays)):
            _merge(record, twin)
            session.delete(record)
        else:
            setattr(record, column, stays.id)
    stays.note = note
    if goes.retired_on is None:
        stays.retired_on = stays.retired_why = None
    session.flush()  # all is moved before the name goes, and put back after it when this is undone
    session.add(SameRecord(record_kind=Member.__name__, gone_id=goes.id, kept_id=stays.id))
    session.delete(goes)
    session.flush()


def _twin(session: Session, record: OfMember, stays: Member) -> OfMember | None:
    """The record of the one who stays that says the same, and beside which the other's may not stand."""
    if isinstance(record, Contact):
        return session.scalar(select(Contact).where(Contact.member_id == stays.id))
    if isinstance(record, Attendance):
        return session.scalar(
            select(Attendance).where(Attendance.member_id == stays.id, Attendance.night_id == record.night_id)
        )
    if record.closed_on is not None:
        return None
    return session.scalar(
        select(Reservation).where(
            Reservation.member_id == stays.id,
            Reservation.closed_on.is_(None),
            Reservation.kit_id == record.kit_id
            if record.kit_id
            else Reservation.equipment_id == record.equipment_id,
        )
    )


def _merge(record: OfMember, twin: OfMember) -> None:
    """What the other's record says and the one that stays does not; who asked first waited since then."""
    if isinstance(record, Contact):
        for way in FIELDS:
            if getattr(twin, way) is None:
                setattr(twin, way, getattr(record, way))
    elif isinstance(record, Reservation) and isinstance(twin, Reservation):
        twin.asked_utc = min(twin.asked_utc, record.asked_utc)


def _note(stays: Member, goes: Member) -> str:
    return "; ".join(part for part in (stays.note, goes.note, f"also written {goes.name}") if part)


def _referring(session: Session, goes: Member) -> list[tuple[Any, str]]:
    """Every record that refers to the member, with the column that does."""
    classes = {mapper.local_table: mapper.class_ for mapper in Base.registry.mappers}
    return [
        (record, column.name)
        for table, column in referring(metadata)
        for record in session.scalars(
            select(classes[table]).where(getattr(classes[table], column.name) == goes.id)
        )
    ]


def _counted(found: Sequence[tuple[Any, str]]) -> dict[str, int]:
    """How many records of each table there are; one that refers twice is one."""
    tables = Counter(
        table for table, _key in {(record.__tablename__, record.id) for record, _column in found}
    )
    return {table.replace("_", " "): count for table, count in sorted(tables.items())}


def _signs_of_two(session: Session, stays: Member, goes: Member) -> Iterator[str]:
    """What speaks for two people: both on the list of one night, or one of them handed something to the other."""
    nights = _nights_of(session, stays) & _nights_of(session, goes)
    if nights:
        said = ", ".join(f"{day}" for day in sorted(nights)[:MOST_NIGHTS_SAID])
        more = len(nights) - MOST_NIGHTS_SAID
        yield f"both were present on {said}" + (f" and {counted(more, 'more night')}" if more > 0 else "")
    pair = {stays.id, goes.id}
    handed = session.scalars(
        select(Loan).where(
            Loan.member_id.in_(pair), or_(Loan.issued_by_id.in_(pair), Loan.received_by_id.in_(pair))
        )
    )
    between = [
        loan for loan in handed if {loan.issued_by_id, loan.received_by_id} & (pair - {loan.member_id})
    ]
    if between:
        yield f"one of them handed {counted(len(between), 'loan')} to the other, or took it back"


def _nights_of(session: Session, member: Member) -> set[date]:
    query = (
        select(Night.night_of)
        .join(Attendance, Attendance.night_id == Night.id)
        .where(Attendance.member_id == member.id)
    )
    return set(session.scalars(query))
