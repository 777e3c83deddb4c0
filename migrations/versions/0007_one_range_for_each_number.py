"""one range for each number that is typed

The database took wider numbers than the options did. What is on record beyond the range that now holds everywhere
becomes unknown, and stands in the record's note as it was, so that nothing is lost and the upgrade never stops at it.

Revision 0007, after 0005. 2026-11-28 10:00:00.000000
"""

import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


@dataclass(frozen=True)
class Number:
    """A column that gets a range, and the table and column in which what was beyond it is noted."""

    table: str
    column: str
    low: str
    high: str
    noted_in: str
    note: str = "note"

    @property
    def old_check(self) -> str:
        return f"ck_{self.table}_{self.column}_positive"

    @property
    def check(self) -> str:
        return f"ck_{self.table}_{self.column}_range"


NUMBERS = (
    Number("arrivals", "field_arcmin", "0.01", "10800", "arrivals"),
    Number("observations", "magnification", "1", "5000", "observations", "description"),
    Number("tubes", "aperture_mm", "10", "5000", "equipment"),
    Number("tubes", "focal_mm", "1", "50000", "equipment"),
    Number("eyepieces", "focal_mm", "0.5", "1000", "equipment"),
    Number("eyepieces", "field_stop_mm", "0.5", "100", "equipment"),
)
SEARCHED = {
    "arrivals": ("note",),
    "observations": ("target", "filter", "sketch", "description"),
}


def upgrade() -> None:
    for number in NUMBERS:
        _note_what_is_beyond(number)
    for table in dict.fromkeys(number.table for number in NUMBERS):
        with _rebuilt(table) as batch:
            for number in (n for n in NUMBERS if n.table == table):
                batch.drop_constraint(op.f(number.old_check), type_="check")
                batch.create_check_constraint(
                    op.f(number.check), f"{number.column} BETWEEN {number.low} AND {number.high}"
                )


def downgrade() -> None:
    """The wider ranges again; what was noted stays in the notes."""
    for table in dict.fromkeys(number.table for number in NUMBERS):
        with _rebuilt(table) as batch:
            for number in (n for n in NUMBERS if n.table == table):
                batch.drop_constraint(op.f(number.check), type_="check")
                batch.create_check_constraint(
                    op.f(number.old_check), f"{number.column} > 0 AND {number.column} < 1e9"
                )


@contextmanager
def _rebuilt(table: str) -> Iterator[BatchOperations]:
    """The table, to be changed; on SQLite it is made anew, which would leave out an index with a condition."""
    on_sqlite = op.get_bind().dialect.name == "sqlite"
    if on_sqlite and table in SEARCHED:
        op.drop_index(f"ix_{table}_search", table)
    with op.batch_alter_table(
        table,
        recreate="always" if on_sqlite else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},  # this table alone is read, not all that it refers to
    ) as batch:
        yield batch
    if on_sqlite and table in SEARCHED:
        op.create_index(
            op.f(f"ix_{table}_search"),
            table,
            ["at_utc", "id", "search_text"],
            sqlite_where=sa.text("search_text IS NOT NULL"),
        )


def _note_what_is_beyond(number: Number) -> None:
    """Put every value beyond the range into the record's note, and make it unknown."""
    connection = op.get_bind()
    table = sa.table(number.table, sa.column("id"), sa.column(number.column))
    value = table.c[number.column]
    beyond = sa.text(f"NOT {number.column} BETWEEN {number.low} AND {number.high}")
    for key, was in connection.execute(sa.select(table.c.id, value).where(beyond)).all():
        _add_to_note(number, key, f"{number.column} was {was:g}")
        connection.execute(sa.update(table).where(table.c.id == key).values({number.column: None}))


def _add_to_note(number: Number, key: object, words: str) -> None:
    connection = op.get_bind()
    searched = SEARCHED.get(number.noted_in, ())
    names = dict.fromkeys(("id", number.note, *searched, *(["search_text"] if searched else [])))
    table = sa.table(number.noted_in, *(sa.column(name) for name in names))
    row = dict(connection.execute(sa.select(table).where(table.c.id == key)).mappings().one())
    row[number.note] = f"{row[number.note]}\n{words}" if row[number.note] else words
    changed = {number.note: row[number.note]}
    if searched:
        changed["search_text"] = "\n".join(_search_form(row[name]) for name in searched if row[name])
    connection.execute(sa.update(table).where(table.c.id == key).values(changed))


def _search_form(text: str) -> str:
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    return " ".join("".join(sign for sign in apart if unicodedata.category(sign) != "Mn").split())
