"""What goes missing and is found: one act, whether an item is named by itself or as the part of a kit."""

from datetime import date, datetime

from sqlalchemy.orm import Session

from obslog.club.absences import Missable, item_of, missing_since, note_found, note_missing
from obslog.club.register.club_day import day_meant
from obslog.club.register.things import thing_named
from obslog.club.storeroom.custody import refuse_if_lost_out
from obslog.club.storeroom.kits import KitPage, kit_page, part_named
from obslog.club.storeroom.loan_records import lose_on_loan
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment


class NotMissing(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not missing.", "See what is: obslog store list --missing")


class MissingAlready(WrongInput):
    def __init__(self, name: str, since: date, found: str) -> None:
        super().__init__(f"{name} has been missing since {since}.", f"Has it been found? {found}")


class FoundTooEarly(WrongInput):
    def __init__(self, name: str, day: date, since: date) -> None:
        super().__init__(
            f"{name} has been missing since {since}, which is after {day}.", "Give a later day with --on."
        )


def set_missing(session: Session, what: Missable, day: date) -> None:
    """Say that it went missing in the store. Raises MissingAlready, LostWhileOut."""
    since = missing_since(session, what)
    if since is not None:
        raise MissingAlready(_name(what), since, _how_to_find(session, what))
    if isinstance(what, Equipment):
        refuse_if_lost_out(session, what, "missing", day)
    note_missing(session, what, day)


def set_found(session: Session, what: Missable, day: date) -> None:
    """Say that it was found. Raises NotMissing, FoundTooEarly."""
    since = missing_since(session, what)
    if since is None:
        raise NotMissing(_name(what))
    if day < since:
        raise FoundTooEarly(_name(what), day, since)
    note_found(session, what, day)


def go_missing(
    database: Database,
    name: str,
    now: datetime,
    *,
    kind: str | None = None,
    on: date | None = None,
    lost_on_loan: bool = False,
) -> None:
    """Say that an item is missing since a day, out of the store or, where said so, out of a borrower's hands.

    Raises UnknownName, WhichKind, MissingAlready, LostWhileOut, NotOut, FutureDate, BadDate.
    """
    day = day_meant(database, on, now)
    with database.write(now, f"{name} is missing") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"{item.name} is missing")
        if lost_on_loan and missing_since(session, item) is None:
            lose_on_loan(session, item, day)
        else:
            set_missing(session, item, day)


def be_found(
    database: Database, name: str, now: datetime, *, kind: str | None = None, on: date | None = None
) -> None:
    """Say that a missing item is found. Raises UnknownName, WhichKind, NotMissing, FoundTooEarly, FutureDate."""
    day = day_meant(database, on, now)
    with database.write(now, f"{name} is found") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"{item.name} is found")
        set_found(session, item, day)


def part_goes_missing(
    database: Database, kit_name: str, part: str, now: datetime, *, on: date | None = None
) -> KitPage:
    """The same of a part of a kit. Raises UnknownName, MissingAlready, LostWhileOut, FutureDate."""
    day = day_meant(database, on, now)
    with database.write(now, f"{part} of the kit {kit_name} is missing") as session:
        kit = by_name(session, Kit, kit_name)
        call_act(session, f"{part} of the kit {kit.name} is missing")
        set_missing(session, item_of(session, part_named(session, kit, part)), day)
        return kit_page(session, kit)


def part_is_found(
    database: Database, kit_name: str, part: str, now: datetime, *, on: date | None = None
) -> KitPage:
    """The same of a part of a kit. Raises UnknownName, NotMissing, FoundTooEarly, FutureDate."""
    day = day_meant(database, on, now)
    with database.write(now, f"{part} of the kit {kit_name} is found") as session:
        kit = by_name(session, Kit, kit_name)
        call_act(session, f"{part} of the kit {kit.name} is found")
        set_found(session, item_of(session, part_named(session, kit, part)), day)
        return kit_page(session, kit)


def _name(what: Missable) -> str:
    return what.label if isinstance(what, KitPart) else what.name


def _how_to_find(session: Session, what: Missable) -> str:
    if isinstance(what, Equipment):
        return f"obslog store found {quoted(what.name)}"
    kit = session.get(Kit, what.kit_id)
    return f"obslog kit found {quoted(kit.name if kit else '')} {quoted(what.label)}"
