"""merging

Sites whose place stays at home, what newer programs tell beside what this one knows, which columns came only roughly,
and why records do not stand in their tables as the log says.

Revision 0015, after 0014. 2026-11-29 01:00:00.000000
"""

import uuid
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None

_LOG = {"acts": ("extra",), "changes": ("withheld", "extra"), "change_batches": ("withheld", "extra")}


def upgrade() -> None:
    op.add_column("sites", sa.Column("private", _yes_no(), nullable=True))
    for table, columns in _LOG.items():
        for column in columns:
            op.add_column(table, sa.Column(column, sa.Text(), nullable=True))
    op.create_table(
        "record_obstacles",
        sa.Column("id", _key(), nullable=False),
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("record_id", _key(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("against_id", _key(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_record_obstacles")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_record_obstacles_record_id"), "record_obstacles", ["record_id"])
    op.create_index(op.f("ix_record_obstacles_against_id"), "record_obstacles", ["against_id"])
    op.create_table(
        "told_acts",
        sa.Column("id", _key(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_told_acts")),
        sqlite_strict=True,
    )
    op.drop_table("parked_records")  # nothing has been written into it before this revision
    op.create_table(
        "parked_records",
        sa.Column("id", _key(), nullable=False),
        *_parked(),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_parked_records")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_parked_records_record_id"), "parked_records", ["record_id"])


def downgrade() -> None:
    op.drop_table("parked_records")
    op.create_table(
        "parked_records",
        *_parked(),
        sa.PrimaryKeyConstraint("record_kind", "record_id", name=op.f("pk_parked_records")),
        sqlite_strict=True,
    )
    op.drop_table("told_acts")
    op.drop_table("record_obstacles")
    for table, columns in _LOG.items():
        for column in columns:
            op.drop_column(table, column)
    op.drop_column("sites", "private")


def _parked() -> tuple[sa.Column[Any], ...]:
    return (
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("record_id", _key(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("against_id", _key(), nullable=True),
        sa.Column("image", sa.Text(), nullable=False),
    )


def _key() -> sa.Uuid[uuid.UUID]:
    return sa.Uuid().with_variant(sa.Text(), "sqlite")


def _yes_no() -> sa.Boolean:
    return sa.Boolean().with_variant(sa.Integer(), "sqlite")
