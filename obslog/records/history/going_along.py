"""What the database takes away with a record: taken away first, row by row, so that the history knows of it."""

from collections.abc import Sequence

from sqlalchemy import column, select, table
from sqlalchemy.orm import Session

from obslog.records.history.images import record_kind, record_kinds
from obslog.records.history.notes import Notes
from obslog.records.history.rows import by_many, going_with, images_now, remove_rows
from obslog.records.tables.base import Base


def remove_what_goes_with(session: Session, notes: Notes, kind: type[Base], keys: Sequence[str]) -> None:
    """Remove and note all that would go with these records, and what goes with it."""
    tables = {str(part.name) for part in record_kind(kind).tables}
    kinds = {mapped.__tablename__: mapped for mapped in record_kinds().values()}
    for name in tables:
        for other, refers_by in going_with(name):
            found = _referring(session, str(other.name), refers_by, keys)
            if not found:
                continue
            other_kind = kinds[str(other.name)]
            remove_what_goes_with(session, notes, other_kind, found)
            stored = record_kind(other_kind)
            for key, image in images_now(session, stored, found).items():
                notes.changed(stored.name, key, image, None)
            remove_rows(session, stored, found)


def _referring(session: Session, name: str, refers_by: str, keys: Sequence[str]) -> list[str]:
    plain = table(name, column("id"), column(refers_by))
    return [
        str(key)
        for some in by_many(session, keys)
        for key in session.execute(select(plain.c.id).where(plain.c[refers_by].in_(some))).scalars()
    ]
