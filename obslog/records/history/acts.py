"""Finding acts: those of people that hold, and the one of a reference."""

from sqlalchemy import ColumnElement, Text, and_, cast, func, or_, select, true
from sqlalchemy.orm import Session

from obslog.errors import WrongInput
from obslog.records.history.author import Author
from obslog.records.tables.logbook import Act

SHORTEST_REFERENCE = 6
_PLACE_OF_VERSION, _DERIVED = 15, "8"  # of a key as text


class NoSuchAct(WrongInput):
    def __init__(self, reference: str, found: int) -> None:
        why = "Several acts have" if found else "No act has"
        super().__init__(
            f"{why} the reference {reference!r}.", "A reference has six characters. See them: obslog history"
        )


def not_derived() -> ColumnElement[bool]:
    """Acts that somebody did; an upgrade writes down others, whose keys it makes of what is on record."""
    return func.substr(cast(Act.id, Text), _PLACE_OF_VERSION, 1) != _DERIVED


def done_here(author: Author) -> ColumnElement[bool]:
    """Acts that were done on the author's machine, or before it was noted where; of all, where it is unknown.

    Where each person has a login, those of another are not among them: whoever writes says what machine it is.
    """
    here = true() if author.origin is None else or_(Act.origin == author.origin, Act.origin.is_(None))
    return and_(here, Act.who.is_not_distinct_from(author.who)) if author.with_login else here


def that_hold() -> tuple[ColumnElement[bool], ...]:
    """Acts that are not undone, and no undoing themselves."""
    return Act.undone_utc.is_(None), Act.undoes_id.is_(None)


def act_named(session: Session, reference: str) -> Act:
    """The act whose key ends so, in capitals or not. Raises NoSuchAct where it is none or several."""
    end = reference.strip().lower().replace("-", "")
    if len(end) < SHORTEST_REFERENCE or not set(end) <= set("0123456789abcdef"):
        raise NoSuchAct(reference, 0)
    query = select(Act).where(cast(Act.id, Text).like(f"%{end[-SHORTEST_REFERENCE:]}"))
    found = [act for act in session.scalars(query) if act.id.hex.endswith(end)]
    if len(found) != 1:
        raise NoSuchAct(reference, len(found))
    return found[0]
