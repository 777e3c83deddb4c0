"""What free text is searched by: a column beside the text in which case and accents are gone, alike on both databases.

A row's search text is made anew whenever the row is written, so that the two never part: `_keep_searchable` does it for
records, `records/bulk_insert.py` for many rows at once. The database refuses a row with text and without search text.
"""

import unicodedata
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, event
from sqlalchemy.orm import Mapper, Session

from obslog.records.tables.base import Base

SEARCHED: dict[str, tuple[str, ...]] = {
    "observations": ("target", "filter", "sketch", "description"),
    "snags": ("text", "remedy"),
    "nights": ("note",),
    "setups": ("note",),
    "arrivals": ("note",),
    "services": ("text",),
}
"""The columns that are searched, table by table."""


_MAPPED_BYTES = 1 << 30


def search_form(text: str) -> str:
    """The text without accents, in one case, with single spaces: what is stored and what is looked for.

    Source: The Unicode Standard, section 3.13, compatibility caseless matching; marks of class Mn are left out.
    """
    if text.isascii():  # most are, and hold neither accents nor marks
        return " ".join(text.casefold().split())
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    return " ".join(
        "".join(character for character in apart if unicodedata.category(character) != "Mn").split()
    )


def search_text(values: Sequence[Any]) -> str | None:
    """The search text of a row's searched columns, in their order; None only where all are unknown."""
    forms = [search_form(str(value)) for value in values if value is not None]
    return "\n".join(filter(None, forms)) if forms else None


def read_mapped(session: Session) -> None:
    """Let SQLite read the file as memory while this session looks through all of it: a third quicker."""
    connection = session.connection()
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA mmap_size={_MAPPED_BYTES}").close()


@event.listens_for(Base, "before_insert", propagate=True)
@event.listens_for(Base, "before_update", propagate=True)
def _keep_searchable(mapper: Mapper[Any], _connection: Connection, record: Any) -> None:
    columns = SEARCHED.get(str(mapper.local_table.name))  # type: ignore[attr-defined]
    if columns:
        record.search_text = search_text([getattr(record, name) for name in columns])
