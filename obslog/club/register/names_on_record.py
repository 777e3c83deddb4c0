"""The names on record, for a reader of lines that has to tell where a name ends."""

from collections.abc import Callable, Iterable, Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.name_lookup import names, table_of


def names_on_record(database: Database) -> Callable[[str], Sequence[str]]:
    """A function that gives the names of a kind, such as `eyepiece`; the records are asked when it is called."""

    def named(kind: str) -> Sequence[str]:
        with database.read() as session:
            return names(session, table_of(kind))

    return named


def names_in(session: Session) -> Callable[[str], Sequence[str]]:
    """As `names_on_record`, within a transaction."""
    return lambda kind: names(session, table_of(kind))


def names_to_offer(database: Database, kinds: Iterable[str]) -> list[str]:
    """The names of those kinds for somebody with a half-typed one; none where the records cannot be read just then."""
    try:
        with database.read() as session:
            return [name for kind in kinds for name in names(session, table_of(kind))]
    except ObslogError:
        return []


def tags_and_kits_to_offer(database: Database) -> list[str]:
    """The tags of items and the names of kits for somebody who counts; none where nothing can be read just then."""
    from obslog.records.tables.base import tag_order
    from obslog.records.tables.lending import Kit
    from obslog.records.tables.storeroom import Paper

    tags = select(Paper.tag).where(Paper.tag.is_not(None))
    kits = select(Kit.name).where(Kit.retired_on.is_(None)).order_by(Kit.name_key)
    try:
        with database.read() as session:
            in_order = sorted((tag for tag in session.scalars(tags) if tag), key=tag_order)
            return [*in_order, *session.scalars(kits)]
    except ObslogError:
        return []
