"""The names on record, for a reader of lines that has to tell where a name ends."""

from collections.abc import Callable, Sequence

from sqlalchemy.orm import Session

from obslog.records.name_lookup import names, table_of
from obslog.records.opening import Database


def names_on_record(database: Database) -> Callable[[str], Sequence[str]]:
    """A function that gives the names of a kind, such as `eyepiece`; the records are asked when it is called."""

    def named(kind: str) -> Sequence[str]:
        with database.read() as session:
            return names(session, table_of(kind))

    return named


def names_in(session: Session) -> Callable[[str], Sequence[str]]:
    """As `names_on_record`, within a transaction."""
    return lambda kind: names(session, table_of(kind))
