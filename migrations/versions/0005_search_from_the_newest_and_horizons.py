"""search from the newest on, and horizons of sites

Revision 0005, after 0004. 2026-11-25 12:45:00.000000
"""

from contextlib import AbstractContextManager

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

FILLED = sa.text("search_text IS NOT NULL")


def upgrade() -> None:
    with _sites() as sites:
        sites.add_column(sa.Column("horizon", sa.Text(), nullable=True))
        sites.create_check_constraint(op.f("ck_sites_horizon_length"), "length(horizon) BETWEEN 1 AND 4000")
    if op.get_bind().dialect.name == "sqlite":
        op.drop_index("ix_observations_search", "observations")
        for table in ("observations", "arrivals"):
            columns = ["at_utc", "id", "search_text"]
            op.create_index(op.f(f"ix_{table}_search"), table, columns, sqlite_where=FILLED)


def downgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        for table in ("observations", "arrivals"):
            op.drop_index(f"ix_{table}_search", table)
        op.create_index("ix_observations_search", "observations", ["search_text", "at_utc", "id"])
    with _sites() as sites:
        sites.drop_constraint(op.f("ck_sites_horizon_length"), type_="check")
        sites.drop_column("horizon")


def _sites() -> AbstractContextManager[BatchOperations]:
    return op.batch_alter_table(
        "sites",
        recreate="always" if op.get_bind().dialect.name == "sqlite" else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},  # this table alone is read, not all that it refers to
    )
