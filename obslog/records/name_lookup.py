"""Finding records by what people call them."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeVar, Union
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import UnknownName, quoted
from obslog.records.tables.base import Base, name_key
from obslog.records.tables.logbook_tables import Eyepiece, Item, Member, Mount, Site, Tube
from obslog.vocabulary import EYEPIECE_OPTIONS, MOUNT_OPTIONS, SITE_OPTIONS, TUBE_OPTIONS

if TYPE_CHECKING:
    from obslog.records.tables.lending import Kit

Named = Union[Site, Member, Mount, Tube, Eyepiece, Item, "Kit"]
N = TypeVar("N", bound="Site | Member | Mount | Tube | Eyepiece | Item | Kit")

KINDS: dict[str, type[Named]] = {
    "site": Site,
    "member": Member,
    "mount": Mount,
    "tube": Tube,
    "eyepiece": Eyepiece,
    "item": Item,
}
_OPTIONS = {
    "site": f" {SITE_OPTIONS}",
    "member": "",
    "mount": f" {MOUNT_OPTIONS}",
    "tube": f" {TUBE_OPTIONS}",
    "eyepiece": f" {EYEPIECE_OPTIONS}",
    "item": "",
    "kit": "",
}


def table_of(kind: str) -> type[Named]:
    """The table of a kind of thing, kits among them."""
    if kind == "kit":
        from obslog.records.tables.lending import Kit

        return Kit
    return KINDS[kind]


def kind_of(table: type[Base]) -> str:
    return table.__name__.lower()


def by_name(session: Session, table: type[N], name: str) -> N:
    """The record of that name, in any case; raises UnknownName with the nearest names and how to add it."""
    found = session.scalar(select(table).where(table.name_key == name_key(name)))
    if found is None:
        kind = kind_of(table)
        raise UnknownName(
            kind, name, names(session, table), f"obslog {kind} add {quoted(name)}{_OPTIONS[kind]}"
        )
    return found


def names(session: Session, table: type[Named] | type[N]) -> Sequence[str]:
    """The names in use, first those that are not retired."""
    return session.scalars(select(table.name).order_by(table.retired_on.is_not(None), table.name)).all()


def key_of(session: Session, table: type[N], name: str | None, otherwise: UUID | None = None) -> UUID | None:
    """The key of the record of that name; `otherwise` where no name is given. Raises UnknownName."""
    return by_name(session, table, name).id if name else otherwise
