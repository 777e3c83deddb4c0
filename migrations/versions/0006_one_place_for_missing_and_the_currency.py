"""since when an item is missing stands in one place, and a rule may be a word, such as the currency

Revision 0006, after 0005. 2026-11-28 10:00:00.000000
"""

import json
from contextlib import AbstractContextManager

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

DAY = sa.Date().with_variant(sa.Text(), "sqlite")
NUMBER: sa.types.TypeEngine[float] = sa.Double().with_variant(sa.REAL(), "sqlite")
NO_OPEN_ABSENCE = "NOT EXISTS (SELECT 1 FROM absences WHERE absences.equipment_id = {table}.equipment_id AND found_on IS NULL)"


def upgrade() -> None:
    for table, wanted in (("papers", ""), ("kit_parts", "AND left_on IS NULL ")):
        op.execute(
            f"INSERT INTO absences (id, equipment_id, since) SELECT id, equipment_id, missing_since FROM {table} "
            f"WHERE missing_since IS NOT NULL AND equipment_id IS NOT NULL {wanted}"
            f"AND {NO_OPEN_ABSENCE.format(table=table)}"
        )
    op.execute("UPDATE kit_parts SET missing_since = NULL WHERE equipment_id IS NOT NULL")
    _forget_in_the_record_of_acts()
    with _rebuilt("kit_parts") as parts:
        parts.create_check_constraint(
            op.f("ck_kit_parts_missing_label"), "equipment_id IS NULL OR missing_since IS NULL"
        )
    with _rebuilt("papers") as papers:
        papers.drop_column("missing_since")
    with _rebuilt("club_rules") as rules:
        rules.alter_column("value", existing_type=NUMBER, nullable=True)
        rules.add_column(sa.Column("word", sa.Text(), nullable=True))
        rules.create_check_constraint(
            op.f("ck_club_rules_value_or_word"), "(value IS NULL) <> (word IS NULL)"
        )
        rules.create_check_constraint(op.f("ck_club_rules_word_length"), "length(word) BETWEEN 1 AND 200")


def downgrade() -> None:
    op.execute("DELETE FROM club_rules WHERE value IS NULL")
    with _rebuilt("club_rules") as rules:
        rules.drop_constraint(op.f("ck_club_rules_word_length"), type_="check")
        rules.drop_constraint(op.f("ck_club_rules_value_or_word"), type_="check")
        rules.drop_column("word")
        rules.alter_column("value", existing_type=NUMBER, nullable=False)
    with _rebuilt("papers") as papers:
        papers.add_column(sa.Column("missing_since", DAY, nullable=True))
    with _rebuilt("kit_parts") as parts:
        parts.drop_constraint(op.f("ck_kit_parts_missing_label"), type_="check")
    op.execute(
        "INSERT INTO papers (id, equipment_id) SELECT id, equipment_id FROM absences WHERE found_on IS NULL "
        "AND equipment_id NOT IN (SELECT equipment_id FROM papers)"
    )
    for table, wanted in (("papers", ""), ("kit_parts", "AND left_on IS NULL ")):
        since = f"SELECT since FROM absences WHERE absences.equipment_id = {table}.equipment_id AND found_on IS NULL"
        op.execute(
            f"UPDATE {table} SET missing_since = ({since}) WHERE equipment_id IS NOT NULL {wanted}"
            f"AND EXISTS ({since})"
        )


def _forget_in_the_record_of_acts() -> None:
    """An act that is undone later puts back what stands here: no item's day into the part that it is of a kit."""
    connection = op.get_bind()
    found = connection.execute(
        sa.text("SELECT id, before, after FROM changes WHERE record_kind = 'KitPart'")
    ).all()
    for key, *both in found:
        kept = [_without_the_day(told) for told in both]
        if kept != both:
            connection.execute(
                sa.text("UPDATE changes SET before = :before, after = :after WHERE id = :id"),
                {"id": key, "before": kept[0], "after": kept[1]},
            )


def _without_the_day(told: str | None) -> str | None:
    values = json.loads(told) if told else {}
    if not values.get("equipment_id") or not values.get("missing_since"):
        return told
    return json.dumps(values | {"missing_since": None})


def _rebuilt(table: str) -> AbstractContextManager[BatchOperations]:
    return op.batch_alter_table(
        table,
        recreate="always" if op.get_bind().dialect.name == "sqlite" else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},  # this table alone is read, not all that it refers to
    )
