"""valuations, receipts, what stocktakes did not find, and calls

When an item was valued, and by whom; receipts by their SHA-256; which items each stocktake did not find; and that a
borrower was telephoned.

Revision 0013, after 0011. 2026-11-29 01:00:00.000000
"""

import uuid

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("papers", sa.Column("valued_on", _day(), nullable=True))
    op.add_column("papers", sa.Column("valued_by", sa.Text(), nullable=True))
    op.create_table(
        "receipts",
        sa.Column("id", _key(), nullable=False),
        sa.Column("equipment_id", _key(), nullable=False),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("dated_on", _day(), nullable=True),
        sa.CheckConstraint("length(file_name) BETWEEN 1 AND 400", name=op.f("ck_receipts_file_name_length")),
        sa.CheckConstraint("length(sha256) BETWEEN 1 AND 64", name=op.f("ck_receipts_sha256_length")),
        sa.ForeignKeyConstraint(
            ["equipment_id"],
            ["equipment.id"],
            name=op.f("fk_receipts_equipment_id_equipment"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_receipts")),
        sa.UniqueConstraint("equipment_id", "sha256", name=op.f("uq_receipts_equipment_id_sha256")),
        sqlite_strict=True,
    )
    op.create_table(
        "stocktake_not_found",
        sa.Column("id", _key(), nullable=False),
        sa.Column("stocktake_id", _key(), nullable=False),
        sa.Column("equipment_id", _key(), nullable=False),
        sa.ForeignKeyConstraint(
            ["equipment_id"],
            ["equipment.id"],
            name=op.f("fk_stocktake_not_found_equipment_id_equipment"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["stocktake_id"],
            ["stocktakes.id"],
            name=op.f("fk_stocktake_not_found_stocktake_id_stocktakes"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stocktake_not_found")),
        sa.UniqueConstraint(
            "stocktake_id", "equipment_id", name=op.f("uq_stocktake_not_found_stocktake_id_equipment_id")
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "calls",
        sa.Column("id", _key(), nullable=False),
        sa.Column("loan_id", _key(), nullable=False),
        sa.Column("called_on", _day(), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint("length(note) BETWEEN 1 AND 500", name=op.f("ck_calls_note_length")),
        sa.ForeignKeyConstraint(
            ["loan_id"], ["loans.id"], name=op.f("fk_calls_loan_id_loans"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_calls")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_calls_loan_id"), "calls", ["loan_id"])


def downgrade() -> None:
    op.drop_table("calls")
    op.drop_table("stocktake_not_found")
    op.drop_table("receipts")
    op.drop_column("papers", "valued_by")
    op.drop_column("papers", "valued_on")


def _key() -> sa.Uuid[uuid.UUID]:
    return sa.Uuid().with_variant(sa.Text(), "sqlite")


def _day() -> sa.Date:
    return sa.Date().with_variant(sa.Text(), "sqlite")
