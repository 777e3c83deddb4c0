"""stocktakes and reminders

A count of the shelves with what was seen, also what is not on record; and which reminders were written.

Revision 0011, after 0010. 2026-11-28 23:12:40.566051
"""

import uuid

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "stocktakes",
        sa.Column("id", _key(), nullable=False),
        sa.Column("started_on", _day(), nullable=False),
        sa.Column("finished_on", _day(), nullable=True),
        sa.Column("member_id", _key(), nullable=True),
        sa.Column("expected", sa.Integer(), nullable=True),
        sa.Column("not_found", sa.Integer(), nullable=True),
        sa.CheckConstraint("expected BETWEEN 0 AND 1e+06", name=op.f("ck_stocktakes_expected_range")),
        sa.CheckConstraint("finished_on >= started_on", name=op.f("ck_stocktakes_finished_after_started")),
        sa.CheckConstraint("not_found BETWEEN 0 AND 1e+06", name=op.f("ck_stocktakes_not_found_range")),
        sa.ForeignKeyConstraint(["member_id"], ["members.id"], name=op.f("fk_stocktakes_member_id_members")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stocktakes")),
        sqlite_strict=True,
    )
    op.create_table(
        "reminders",
        sa.Column("id", _key(), nullable=False),
        sa.Column("made_on", _day(), nullable=False),
        sa.Column("level", sa.Text(), nullable=False),
        sa.Column("loan_id", _key(), nullable=True),
        sa.Column("reservation_id", _key(), nullable=True),
        sa.Column("file_name", sa.Text(), nullable=True),
        sa.Column("text_sha256", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "level IN ('due soon', 'due', 'overdue', 'escalated', 'next')",
            name=op.f("ck_reminders_level_known"),
        ),
        sa.CheckConstraint(
            "(loan_id IS NULL) <> (reservation_id IS NULL)", name=op.f("ck_reminders_loan_or_reservation")
        ),
        sa.CheckConstraint("length(file_name) BETWEEN 1 AND 400", name=op.f("ck_reminders_file_name_length")),
        sa.CheckConstraint(
            "length(text_sha256) BETWEEN 1 AND 64", name=op.f("ck_reminders_text_sha256_length")
        ),
        sa.ForeignKeyConstraint(
            ["loan_id"], ["loans.id"], name=op.f("fk_reminders_loan_id_loans"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["reservation_id"],
            ["reservations.id"],
            name=op.f("fk_reminders_reservation_id_reservations"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reminders")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_reminders_loan_id"), "reminders", ["loan_id"])
    op.create_index(op.f("ix_reminders_reservation_id"), "reminders", ["reservation_id"])

    op.create_table(
        "stocktake_ticks",
        sa.Column("id", _key(), nullable=False),
        sa.Column("stocktake_id", _key(), nullable=False),
        sa.Column("equipment_id", _key(), nullable=False),
        sa.Column("seen_utc", _instant(), nullable=False),
        sa.Column("found_place", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "length(found_place) BETWEEN 1 AND 200", name=op.f("ck_stocktake_ticks_found_place_length")
        ),
        sa.CheckConstraint("length(note) BETWEEN 1 AND 500", name=op.f("ck_stocktake_ticks_note_length")),
        sa.ForeignKeyConstraint(
            ["equipment_id"],
            ["equipment.id"],
            name=op.f("fk_stocktake_ticks_equipment_id_equipment"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["stocktake_id"],
            ["stocktakes.id"],
            name=op.f("fk_stocktake_ticks_stocktake_id_stocktakes"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stocktake_ticks")),
        sa.UniqueConstraint(
            "stocktake_id", "equipment_id", name=op.f("uq_stocktake_ticks_stocktake_id_equipment_id")
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "stocktake_unknowns",
        sa.Column("id", _key(), nullable=False),
        sa.Column("stocktake_id", _key(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("seen_utc", _instant(), nullable=False),
        sa.Column("found_place", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "length(found_place) BETWEEN 1 AND 200", name=op.f("ck_stocktake_unknowns_found_place_length")
        ),
        sa.CheckConstraint("length(text) BETWEEN 1 AND 200", name=op.f("ck_stocktake_unknowns_text_length")),
        sa.ForeignKeyConstraint(
            ["stocktake_id"],
            ["stocktakes.id"],
            name=op.f("fk_stocktake_unknowns_stocktake_id_stocktakes"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stocktake_unknowns")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_stocktake_unknowns_stocktake_id"), "stocktake_unknowns", ["stocktake_id"])


def downgrade() -> None:
    op.drop_table("stocktake_unknowns")
    op.drop_table("stocktake_ticks")
    op.drop_table("reminders")
    op.drop_table("stocktakes")


def _key() -> sa.Uuid[uuid.UUID]:
    return sa.Uuid().with_variant(sa.Text(), "sqlite")


def _day() -> sa.Date:
    return sa.Date().with_variant(sa.Text(), "sqlite")


def _instant() -> sa.DateTime:
    return sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
