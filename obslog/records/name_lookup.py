"""Finding records by what people call them."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeVar, Union
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.english import with_article
from obslog.errors import UnknownName, WholeNameNeeded, quoted
from obslog.records.nameless import refuse_who_left
from obslog.records.tables.base import Base, name_key
from obslog.records.tables.logbook_tables import Equipment, Eyepiece, Item, Member, Mount, Site, Tube
from obslog.vocabulary.hint_options import EYEPIECE_OPTIONS, MOUNT_OPTIONS, SITE_OPTIONS, TUBE_OPTIONS

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


def by_name(session: Session, table: type[N], name: str, *, whole: bool = False) -> N:
    """The record of that name, in any case, or of the only name that it begins; see `whole_name`.

    Where it has to be `whole`, for what cannot be taken back lightly, a beginning is refused. A whole name costs one
    query by the index. Raises UnknownName with the nearest names and how to add it, SeveralNamesFit, WholeNameNeeded.
    """
    found = session.scalar(select(table).where(table.name_key == name_key(name)))
    if found is not None:
        return found
    kind = kind_of(table)
    meant = whole_name(session, [table], name)
    if meant is None:
        raise _unknown(session, table, name)
    if whole:
        raise WholeNameNeeded(kind, name, meant)
    return session.scalars(select(table).where(table.name_key == name_key(meant))).one()


def _unknown(session: Session, table: type[N], name: str) -> UnknownName:
    """With how to add it, but for the name of something of another kind, which was likely put in the wrong place."""
    kind, known = kind_of(table), names(session, table)
    for other in (*KINDS, "kit"):
        named = table_of(other)
        if named is not table and session.scalar(select(named.id).where(named.name_key == name_key(name))):
            return UnknownName(
                kind,
                name,
                known,
                see=f"{name} is {with_article(other)}. See what is there: obslog {kind} list",
            )
    return UnknownName(kind, name, known, f"obslog {kind} add {quoted(name)}{_OPTIONS[kind]}")


def whole_name(
    session: Session, tables: Sequence[type[Named] | type[N] | type[Equipment]], name: str
) -> str | None:
    """The name in these tables that a person means who types its beginning, or that of its words; None for no name.

    What is retired is meant only where nothing in use fits: its name stays taken for ever, and would stand in the
    way of those that are typed every night. Raises SeveralNamesFit.
    """
    from obslog.grammar.name_choice import chosen_name

    known = [
        (known, retired_on is not None)
        for table in tables
        for known, retired_on in session.execute(select(table.name, table.retired_on).order_by(table.name))
    ]
    in_use = chosen_name(name, [known for known, retired in known if not retired])
    return in_use or chosen_name(name, [known for known, retired in known if retired])


def names(session: Session, table: type[Named] | type[N]) -> Sequence[str]:
    """The names in use, first those that are not retired."""
    return session.scalars(select(table.name).order_by(table.retired_on.is_not(None), table.name)).all()


def key_of(session: Session, table: type[N], name: str | None, otherwise: UUID | None = None) -> UUID | None:
    """The key of the record of that name; `otherwise` where no name is given. Raises UnknownName."""
    return by_name(session, table, name).id if name else otherwise


def member_here(session: Session, name: str) -> Member:
    """The member of that name, of whom something new is written. Raises HasLeft, and as `by_name`."""
    member = by_name(session, Member, name)
    refuse_who_left(member.name)
    return member


def key_of_member(session: Session, name: str | None, otherwise: UUID | None = None) -> UUID | None:
    """The key of such a member; `otherwise` where no name is given. Raises as `member_here`."""
    return member_here(session, name).id if name else otherwise
