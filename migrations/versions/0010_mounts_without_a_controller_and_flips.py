"""mounts without a controller, binoculars, flips, and undoings that are settled

A mount may have no controller, and something may be found with binoculars. A set-up keeps to which side of the pier
its tube was turned last, and since when. An act that was undone can be done again until something newer is recorded;
of those undone before this revision nobody knows, so that they are taken for settled.

Revision 0010, after 0009. 2026-11-28 19:00:00.000000
"""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

SIDE = "pier_side IN ('east', 'west')"
WHOLE = "(pier_side IS NULL) = (pier_side_since_utc IS NULL)"
FOUND_BEFORE = "'goto', 'star-hop', 'circles', 'naked eye', 'other'"
FOUND_NOW = "'goto', 'star-hop', 'circles', 'naked eye', 'binoculars', 'other'"


def upgrade() -> None:
    _allow("mounts", "controller", "'shift', 'model', 'none'")
    _allow("observations", "found_by", FOUND_NOW)
    with _rebuilt("setups") as batch:
        batch.add_column(sa.Column("pier_side", sa.Text(), nullable=True))
        batch.add_column(sa.Column("pier_side_since_utc", _instant(), nullable=True))
        batch.create_check_constraint(op.f("ck_setups_pier_side_known"), SIDE)
        batch.create_check_constraint(op.f("ck_setups_flip_whole"), WHOLE)
    op.add_column("acts", sa.Column("settled_utc", _instant(), nullable=True))
    op.execute("UPDATE acts SET settled_utc = undone_utc")


def downgrade() -> None:
    """A mount without a controller has an unknown one again; what was found with binoculars was found otherwise."""
    op.drop_column("acts", "settled_utc")
    with _rebuilt("setups") as batch:
        batch.drop_constraint(op.f("ck_setups_flip_whole"), type_="check")
        batch.drop_constraint(op.f("ck_setups_pier_side_known"), type_="check")
        batch.drop_column("pier_side_since_utc")
        batch.drop_column("pier_side")
    op.execute("UPDATE observations SET found_by = 'other' WHERE found_by = 'binoculars'")
    _allow("observations", "found_by", FOUND_BEFORE)
    op.execute("UPDATE mounts SET controller = NULL WHERE controller = 'none'")
    _allow("mounts", "controller", "'shift', 'model'")


def _instant() -> sa.DateTime:
    return sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")


def _allow(table: str, column: str, words: str) -> None:
    """Let a column hold these words and no others."""
    check = op.f(f"ck_{table}_{column}_known")
    with _rebuilt(table) as batch:
        batch.drop_constraint(check, type_="check")
        batch.create_check_constraint(check, f"{column} IN ({words})")


@contextmanager
def _rebuilt(table: str) -> Iterator[BatchOperations]:
    """The table, to be changed; on SQLite it is made anew, which would leave out an index with a condition."""
    on_sqlite = op.get_bind().dialect.name == "sqlite"
    if on_sqlite and table == "observations":
        op.drop_index("ix_observations_search", table)
    with op.batch_alter_table(
        table,
        recreate="always" if on_sqlite else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},  # this table alone is read, not all that it refers to
    ) as batch:
        yield batch
    if on_sqlite and table == "observations":
        op.create_index(
            op.f("ix_observations_search"),
            table,
            ["at_utc", "id", "search_text"],
            sqlite_where=sa.text("search_text IS NOT NULL"),
        )
