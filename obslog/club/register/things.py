"""Kits and things by name: which one a person means."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import UnknownName, WholeNameNeeded, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.name_lookup import by_name, table_of, whole_name
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit
from obslog.records.tables.logbook_tables import Equipment

Lendable = Kit | Equipment
ANY_KIND = "mount, tube, eyepiece, kit or item"


class WhichKind(WrongInput):
    def __init__(self, name: str, kinds: list[str]) -> None:
        super().__init__(f"{name!r} is the name of a {' and of a '.join(kinds)}.", f"Say --kind {kinds[0]}.")


class IsAKit(UnknownName):
    """No item has the name, but a kit: another item of that name would only hide it."""

    def __init__(self, kit: str) -> None:
        super().__init__("item", kit, [])
        self.message = f"{kit} is a kit, and no item."
        self.args = (self.message,)
        self.hint = (
            f"Name one of its parts: obslog kit show {quoted(kit)}. "
            f"To note something of the kit itself: obslog kit edit {quoted(kit)} --note TEXT"
        )


def lendable(session: Session, name: str, kind: str | None = None, *, whole: bool = False) -> Lendable:
    """The kit of that name, or else the thing; `kind` settles it where several share the name.

    The name may be a beginning, unless it has to be `whole`. Raises UnknownName, SeveralNamesFit, WholeNameNeeded,
    WhichKind.
    """
    if kind is not None:
        return by_name(session, table_of(kind), name, whole=whole)  # type: ignore[return-value]
    found = _kit_or_thing(session, name)
    if found is not None:
        return found
    meant = whole_name(session, [Kit, Equipment], name)
    if meant is None:
        known = [*session.scalars(select(Kit.name)), *session.scalars(select(Equipment.name))]
        raise UnknownName(ANY_KIND, name, known, see="See what there is: obslog store list")
    if whole:
        raise WholeNameNeeded(ANY_KIND, name, meant)
    found = _kit_or_thing(session, meant)
    assert found is not None
    return found


def thing_named(session: Session, name: str, kind: str | None = None, *, whole: bool = False) -> Equipment:
    """The mount, tube, eyepiece or item of that name, whatever kits are called. Raises as `lendable`, and IsAKit."""
    if kind is not None:
        return by_name(session, table_of(kind), name, whole=whole)  # type: ignore[return-value]
    thing = _only_thing(session, name)
    if thing is not None:
        return thing
    meant = whole_name(session, [Equipment], name)
    if meant is None:
        kit = _kit(session, name)
        if kit is not None:
            raise IsAKit(kit.name)
        raise UnknownName(
            "item", name, session.scalars(select(Equipment.name)).all(), f"obslog item add {quoted(name)}"
        )
    if whole:
        raise WholeNameNeeded("item", name, meant)
    thing = _only_thing(session, meant)
    assert thing is not None
    return thing


def whole_name_of(database: Database, name: str, kind: str | None = None) -> str:
    """The name of a thing as on record. Raises as `lendable`."""
    with database.read() as session:
        return thing_named(session, name, kind).name


def _kit_or_thing(session: Session, name: str) -> Lendable | None:
    """The kit of that whole name, or else the thing. Raises WhichKind where several things have it."""
    return _kit(session, name) or _only_thing(session, name)


def _kit(session: Session, name: str) -> Kit | None:
    return session.scalar(select(Kit).where(Kit.name_key == name_key(name)))


def _only_thing(session: Session, name: str) -> Equipment | None:
    """The thing whose whole name that is. Raises WhichKind where there are several."""
    things = session.scalars(select(Equipment).where(Equipment.name_key == name_key(name))).all()
    if len(things) > 1:
        raise WhichKind(things[0].name, [thing.kind for thing in things])
    return things[0] if things else None


def kind_word(what: Lendable) -> str:
    return "kit" if isinstance(what, Kit) else what.kind
