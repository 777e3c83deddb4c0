"""the history of every record

Who wrote an act, on which machine, and which act it takes back; many records in one entry; records that are one; and
those that cannot stand in their table beside what is there.

Revision 0012, after 0011. 2026-11-29 00:55:00.000000
"""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with _acts() as batch:
        batch.add_column(sa.Column("who", sa.Text(), nullable=True))
        batch.add_column(sa.Column("origin", _key(), nullable=True))
        batch.add_column(sa.Column("undoes_id", _key(), nullable=True))
        batch.create_check_constraint(op.f("ck_acts_who_length"), "length(who) BETWEEN 1 AND 200")
        batch.create_foreign_key(op.f("fk_acts_undoes_id_acts"), "acts", ["undoes_id"], ["id"])
        batch.drop_column("settled_utc")
    op.create_index(op.f("ix_acts_undoes_id"), "acts", ["undoes_id"])
    op.create_table(
        "change_batches",
        sa.Column("id", _key(), nullable=False),
        sa.Column("act_id", _key(), nullable=False),
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("first_id", _key(), nullable=False),
        sa.Column("last_id", _key(), nullable=False),
        sa.Column("records", sa.Integer(), nullable=False),
        sa.Column("record_ids", sa.LargeBinary(), nullable=False),
        sa.Column("images", sa.LargeBinary(), nullable=True),
        sa.CheckConstraint("what IN ('added', 'removed')", name=op.f("ck_change_batches_what_known")),
        sa.CheckConstraint(
            "what <> 'removed' OR images IS NOT NULL", name=op.f("ck_change_batches_removed_kept")
        ),
        sa.CheckConstraint("records > 0", name=op.f("ck_change_batches_records_some")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=op.f("fk_change_batches_act_id_acts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change_batches")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_change_batches_act_id"), "change_batches", ["act_id"])
    op.create_index(
        op.f("ix_change_batches_record_kind_change_batches_first_id"),
        "change_batches",
        ["record_kind", "first_id"],
    )
    op.create_table(
        "same_records",
        sa.Column("id", _key(), nullable=False),
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("gone_id", _key(), nullable=False),
        sa.Column("kept_id", _key(), nullable=False),
        sa.CheckConstraint("gone_id <> kept_id", name=op.f("ck_same_records_two_records")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_same_records")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_same_records_gone_id"), "same_records", ["gone_id"])
    op.create_table(
        "parked_records",
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("record_id", _key(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("against_id", _key(), nullable=True),
        sa.Column("image", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("record_kind", "record_id", name=op.f("pk_parked_records")),
        sqlite_strict=True,
    )


def downgrade() -> None:
    """The tables as they were; an act that takes another back goes with what it noted, and the other stays undone."""
    op.drop_table("parked_records")
    op.drop_table("same_records")
    op.drop_table("change_batches")
    op.execute("DELETE FROM changes WHERE act_id IN (SELECT id FROM acts WHERE undoes_id IS NOT NULL)")
    op.execute("DELETE FROM acts WHERE undoes_id IS NOT NULL")
    op.drop_index(op.f("ix_acts_undoes_id"), "acts")
    with _acts() as batch:
        batch.drop_constraint(op.f("fk_acts_undoes_id_acts"), type_="foreignkey")
        batch.drop_constraint(op.f("ck_acts_who_length"), type_="check")
        batch.drop_column("undoes_id")
        batch.drop_column("origin")
        batch.drop_column("who")
        batch.add_column(sa.Column("settled_utc", _instant(), nullable=True))
    op.execute("UPDATE acts SET settled_utc = undone_utc")


@contextmanager
def _acts() -> Iterator[BatchOperations]:
    """The table of acts, to be changed; SQLite makes it anew."""
    with op.batch_alter_table(
        "acts",
        recreate="always" if op.get_bind().dialect.name == "sqlite" else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},
    ) as batch:
        yield batch


def _key() -> sa.Uuid[uuid.UUID]:
    return sa.Uuid().with_variant(sa.Text(), "sqlite")


def _instant() -> sa.DateTime:
    return sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")
