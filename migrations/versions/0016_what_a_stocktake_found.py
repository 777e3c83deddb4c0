"""what a stocktake found

Whether the parts of kits that are only labels were there, and what a finished stocktake made of each item.

Revision 0016, after 0015. 2026-11-29 05:10:00.000000
"""

import uuid
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None

_FOUND = (
    "'seen', 'seen elsewhere', 'not seen', 'not looked at', 'on loan', 'missing before', "
    "'missing before, and seen', 'seen, against the record'"
)


def upgrade() -> None:
    op.create_table(
        "stocktake_parts",
        sa.Column("id", _key(), nullable=False),
        sa.Column("stocktake_id", _key(), nullable=False),
        sa.Column("kit_part_id", _key(), nullable=False),
        sa.Column("seen_utc", _instant(), nullable=False),
        sa.Column("there", _yes_no(), nullable=False),
        _refers("stocktake_parts", "kit_part_id", "kit_parts"),
        _refers("stocktake_parts", "stocktake_id", "stocktakes"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stocktake_parts")),
        sa.UniqueConstraint(
            "stocktake_id", "kit_part_id", name=op.f("uq_stocktake_parts_stocktake_id_kit_part_id")
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "stocktake_lines",
        sa.Column("id", _key(), nullable=False),
        sa.Column("stocktake_id", _key(), nullable=False),
        sa.Column("found", sa.Text(), nullable=False),
        sa.Column("status", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("equipment_id", _key(), nullable=True),
        sa.Column("kit_part_id", _key(), nullable=True),
        sa.Column("kit", sa.Text(), nullable=True),
        sa.Column("tag", sa.Text(), nullable=True),
        sa.Column("place", sa.Text(), nullable=True),
        sa.Column("value", _real(), nullable=True),
        sa.CheckConstraint(
            "(equipment_id IS NULL) <> (kit_part_id IS NULL)", name=op.f("ck_stocktake_lines_item_or_part")
        ),
        sa.CheckConstraint(f"found IN ({_FOUND})", name=op.f("ck_stocktake_lines_found_known")),
        sa.CheckConstraint("length(status) BETWEEN 1 AND 20", name=op.f("ck_stocktake_lines_status_length")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_stocktake_lines_name_length")),
        sa.CheckConstraint("length(kit) BETWEEN 1 AND 200", name=op.f("ck_stocktake_lines_kit_length")),
        sa.CheckConstraint("value BETWEEN 0 AND 1e+07", name=op.f("ck_stocktake_lines_value_range")),
        _refers("stocktake_lines", "equipment_id", "equipment"),
        _refers("stocktake_lines", "kit_part_id", "kit_parts"),
        _refers("stocktake_lines", "stocktake_id", "stocktakes"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stocktake_lines")),
        sa.UniqueConstraint(
            "stocktake_id", "equipment_id", name=op.f("uq_stocktake_lines_stocktake_id_equipment_id")
        ),
        sa.UniqueConstraint(
            "stocktake_id", "kit_part_id", name=op.f("uq_stocktake_lines_stocktake_id_kit_part_id")
        ),
        sqlite_strict=True,
    )


def downgrade() -> None:
    op.drop_table("stocktake_lines")
    op.drop_table("stocktake_parts")


def _refers(table: str, column: str, to: str) -> Any:
    name = op.f(f"fk_{table}_{column}_{to}")
    return sa.ForeignKeyConstraint([column], [f"{to}.id"], name=name, ondelete="CASCADE")


def _key() -> sa.Uuid[uuid.UUID]:
    return sa.Uuid().with_variant(sa.Text(), "sqlite")


def _instant() -> sa.DateTime:
    return sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")


def _yes_no() -> sa.Boolean:
    return sa.Boolean().with_variant(sa.Integer(), "sqlite")


def _real() -> sa.Double[float]:
    return sa.Double().with_variant(sa.REAL(), "sqlite")
