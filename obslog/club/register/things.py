"""Kits and things by name: which one a person means."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import UnknownName, WrongInput, quoted
from obslog.records.name_lookup import by_name, table_of
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit
from obslog.records.tables.logbook_tables import Equipment

Lendable = Kit | Equipment
ANY_KIND = "mount, tube, eyepiece, kit or item"


class WhichKind(WrongInput):
    def __init__(self, name: str, kinds: list[str]) -> None:
        super().__init__(f"{name!r} is the name of a {' and of a '.join(kinds)}.", f"Say --kind {kinds[0]}.")


def lendable(session: Session, name: str, kind: str | None = None) -> Lendable:
    """The kit of that name, or else the thing; `kind` settles it where several share the name.

    Raises UnknownName, WhichKind.
    """
    if kind is not None:
        return by_name(session, table_of(kind), name)  # type: ignore[return-value]
    key = name_key(name)
    kit = session.scalar(select(Kit).where(Kit.name_key == key))
    if kit is not None:
        return kit
    thing = _only_thing(session, key)
    if thing is not None:
        return thing
    known = [*session.scalars(select(Kit.name)), *session.scalars(select(Equipment.name))]
    raise UnknownName(ANY_KIND, name, known, see="See what there is: obslog store list")


def thing_named(session: Session, name: str, kind: str | None = None) -> Equipment:
    """The mount, tube, eyepiece or item of that name, whatever kits are called. Raises UnknownName, WhichKind."""
    if kind is not None:
        return by_name(session, table_of(kind), name)  # type: ignore[return-value]
    thing = _only_thing(session, name_key(name))
    if thing is None:
        raise UnknownName(
            "item", name, session.scalars(select(Equipment.name)).all(), f"obslog item add {quoted(name)}"
        )
    return thing


def _only_thing(session: Session, key: str) -> Equipment | None:
    """The thing whose name that is. Raises WhichKind where there are several."""
    things = session.scalars(select(Equipment).where(Equipment.name_key == key)).all()
    if len(things) > 1:
        raise WhichKind(things[0].name, [thing.kind for thing in things])
    return things[0] if things else None


def kind_word(what: Lendable) -> str:
    return "kit" if isinstance(what, Kit) else what.kind
