"""From when to when something is missing, in one place for each.

Of an item it is the open absence. A part of a kit that is only a label, such as a dust cap, has a day of its own.
"""

from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.merging.same_aliases import close_waiting
from obslog.records.tables.lending import Absence, KitPart
from obslog.records.tables.logbook_tables import Equipment

Missable = Equipment | KitPart
"""An item, or the part of a kit that is only a label."""


def missing_since(session: Session, what: Missable) -> date | None:
    if isinstance(what, KitPart):
        return what.missing_since
    absence = _open_absence(session, what)
    return absence.since if absence else None


def note_missing(session: Session, what: Missable, day: date) -> None:
    """Write down that it has been missing since the day; where it is missing already, the first day stays."""
    if isinstance(what, KitPart):
        what.missing_since = what.missing_since or day
    elif _open_absence(session, what) is None:
        session.add(Absence(equipment_id=what.id, since=day))
        session.flush()


def note_found(session: Session, what: Missable, day: date) -> None:
    """Write down that it was found; from when to when an item was missing is kept."""
    if isinstance(what, KitPart):
        what.missing_since = None
    elif (absence := _open_absence(session, what)) is not None:
        absence.found_on = max(day, absence.since)
        close_waiting(
            session,
            Absence,
            {"equipment_id": str(what.id)},
            lambda image: {
                **image,
                "found_on": image.get("found_on") or max(day.isoformat(), image["since"]),
            },
        )


def item_of(session: Session, part: KitPart) -> Missable:
    """The item that is the part; where the part is only a label, the part itself."""
    item = session.get(Equipment, part.equipment_id) if part.equipment_id else None
    return item or part


def _open_absence(session: Session, item: Equipment) -> Absence | None:
    return session.scalar(select(Absence).where(Absence.equipment_id == item.id, Absence.found_on.is_(None)))
