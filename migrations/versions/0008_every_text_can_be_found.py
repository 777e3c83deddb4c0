"""every text can be found

Rows written many at once could lack the search text by which they are found. What lacks it, or has another than its
texts give, gets it; from now on the database refuses a row with a text and without a search text.

Revision 0008, after 0007. 2026-11-28 13:00:00.000000
"""

import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

SEARCHED = {
    "observations": ("target", "filter", "sketch", "description"),
    "snags": ("text", "remedy"),
    "nights": ("note",),
    "setups": ("note",),
    "arrivals": ("note",),
    "services": ("text",),
}
INDEXED = ("observations", "arrivals")


def upgrade() -> None:
    for table, columns in SEARCHED.items():
        _mend(table, columns)
        told = columns[0] if len(columns) == 1 else f"coalesce({', '.join(columns)})"
        with _rebuilt(table) as batch:
            batch.create_check_constraint(_check(table), f"(search_text IS NULL) = ({told} IS NULL)")


def downgrade() -> None:
    for table in SEARCHED:
        with _rebuilt(table) as batch:
            batch.drop_constraint(_check(table), type_="check")


def _check(table: str) -> str:
    return op.f(f"ck_{table}_search_text_kept")


def _mend(name: str, columns: Sequence[str]) -> None:
    connection = op.get_bind()
    table = sa.table(name, sa.column("id"), sa.column("search_text"), *(sa.column(c) for c in columns))
    rows = connection.execute(
        sa.select(table.c.id, table.c.search_text, *(table.c[column] for column in columns))
    )
    wrong = [
        {"of_row": key, "made": made} for key, kept, *texts in rows if (made := _search_text(texts)) != kept
    ]
    if wrong:
        change = sa.update(table).where(table.c.id == sa.bindparam("of_row"))
        connection.execute(change.values(search_text=sa.bindparam("made")), wrong)


@contextmanager
def _rebuilt(table: str) -> Iterator[BatchOperations]:
    """The table, to be changed; on SQLite it is made anew, which would leave out an index with a condition."""
    on_sqlite = op.get_bind().dialect.name == "sqlite"
    if on_sqlite and table in INDEXED:
        op.drop_index(f"ix_{table}_search", table)
    with op.batch_alter_table(
        table,
        recreate="always" if on_sqlite else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},  # this table alone is read, not all that it refers to
    ) as batch:
        yield batch
    if on_sqlite and table in INDEXED:
        op.create_index(
            op.f(f"ix_{table}_search"),
            table,
            ["at_utc", "id", "search_text"],
            sqlite_where=sa.text("search_text IS NOT NULL"),
        )


def _search_text(values: Sequence[str | None]) -> str | None:
    if all(value is None for value in values):
        return None
    return "\n".join(form for value in values if value is not None and (form := _search_form(value)))


def _search_form(text: str) -> str:
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    return " ".join("".join(sign for sign in apart if unicodedata.category(sign) != "Mn").split())
