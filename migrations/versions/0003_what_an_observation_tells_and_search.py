"""what an observation tells, and search

Revision 0003, after 0002. 2026-11-25 09:46:41.068817
"""

import unicodedata
from contextlib import AbstractContextManager
from typing import Any

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0003"
down_revision = "0002"
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
REAL: sa.types.TypeEngine[float] = sa.Double().with_variant(sa.REAL(), "sqlite")
NEW_COLUMNS: dict[str, sa.types.TypeEngine[Any]] = {
    "vision": sa.Text(),
    "magnification": REAL,
    "filter": sa.Text(),
    "rating": sa.Integer(),
    "alt_deg": REAL,
    "sketch": sa.Text(),
}
NEW_CHECKS = {
    "alt_deg_range": "alt_deg BETWEEN -90 AND 90",
    "filter_length": "length(filter) BETWEEN 1 AND 200",
    "magnification_positive": "magnification > 0 AND magnification < 1e9",
    "rating_range": "rating BETWEEN 1 AND 5",
    "sketch_length": "length(sketch) BETWEEN 1 AND 500",
    "vision_known": "vision IN ('direct', 'averted')",
}


def upgrade() -> None:
    for table in SEARCHED:
        op.add_column(table, sa.Column("search_text", sa.Text(), nullable=True))
    with _observations() as observations:
        for column, kind in NEW_COLUMNS.items():
            observations.add_column(sa.Column(column, kind, nullable=True))
        for name, rule in NEW_CHECKS.items():
            observations.create_check_constraint(op.f(f"ck_observations_{name}"), rule)
        observations.create_index(op.f("ix_observations_member_id"), ["member_id"], unique=False)
    if op.get_bind().dialect.name == "sqlite":
        op.create_index("ix_observations_search", "observations", ["search_text", "at_utc", "id"])
    for table, columns in SEARCHED.items():
        _fill(table, [name for name in columns if name not in ("filter", "sketch")])


def downgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        op.drop_index("ix_observations_search", "observations")
    with _observations() as observations:
        observations.drop_index(op.f("ix_observations_member_id"))
        for name in NEW_CHECKS:
            observations.drop_constraint(op.f(f"ck_observations_{name}"), type_="check")
        for column in NEW_COLUMNS:
            observations.drop_column(column)
    for table in SEARCHED:
        op.drop_column(table, "search_text")


def _observations() -> AbstractContextManager[BatchOperations]:
    return op.batch_alter_table(
        "observations",
        recreate="always" if op.get_bind().dialect.name == "sqlite" else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},  # this table alone is read, not all that it refers to
    )


def _fill(name: str, columns: list[str]) -> None:
    """Make the search text of what is on record."""
    table = sa.table(name, sa.column("id"), sa.column("search_text"), *(sa.column(c) for c in columns))
    connection = op.get_bind()
    rows = connection.execute(sa.select(table.c.id, *(table.c[c] for c in columns))).all()
    filled = [{"of_row": row[0], "made": text} for row in rows if (text := _search_text(row[1:]))]
    if filled:
        change = sa.update(table).where(table.c.id == sa.bindparam("of_row"))
        connection.execute(change.values(search_text=sa.bindparam("made")), filled)


def _search_text(values: tuple[str | None, ...]) -> str:
    return "\n".join(_search_form(value) for value in values if value)


def _search_form(text: str) -> str:
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    return " ".join("".join(sign for sign in apart if unicodedata.category(sign) != "Mn").split())
