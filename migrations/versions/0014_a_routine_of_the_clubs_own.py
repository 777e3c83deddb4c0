"""a routine of the club's own

Steps of a checklist, service tasks, words for conditions and loan terms that a club has made its own. A snag or tick may
be of a step that the club has added.

Revision 0014, after 0011. 2026-11-29 01:02:07.479273
"""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

STEPS_BEFORE = (
    "'pack', 'ground', 'level', 'assemble', 'balance', 'home', 'finder', 'cables', 'power', 'cool', 'key-in', "
    "'polar-axis', 'sync-stars', 'centre', 'verify', 'write-down', 'finish'"
)
OF_ANOTHER_STEP = "assemble"  # a step of the club's own is not known before: how a loan's faults are noted
WORDS = ("word_out", "word_in")
ONE_OUT = "ix_loan_parts_equipment_id"


def upgrade() -> None:
    op.create_table(
        "club_steps",
        sa.Column("id", _key(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("step", sa.Text(), nullable=False),
        sa.Column("left_out", _yes_no(), nullable=False),
        sa.Column("title", sa.Text(), nullable=True),
        sa.Column("what_to_do", sa.Text(), nullable=True),
        sa.Column("tolerance", sa.Text(), nullable=True),
        sa.Column("why", sa.Text(), nullable=True),
        sa.Column("mounts", sa.Text(), nullable=True),
        sa.Column("about_the_mount", _yes_no(), nullable=False),
        sa.CheckConstraint("length(step) BETWEEN 1 AND 40", name=op.f("ck_club_steps_step_length")),
        sa.CheckConstraint("length(title) BETWEEN 1 AND 60", name=op.f("ck_club_steps_title_length")),
        sa.CheckConstraint(
            "length(tolerance) BETWEEN 1 AND 120", name=op.f("ck_club_steps_tolerance_length")
        ),
        sa.CheckConstraint(
            "length(what_to_do) BETWEEN 1 AND 500", name=op.f("ck_club_steps_what_to_do_length")
        ),
        sa.CheckConstraint("length(why) BETWEEN 1 AND 500", name=op.f("ck_club_steps_why_length")),
        sa.CheckConstraint("place BETWEEN 1 AND 1000", name=op.f("ck_club_steps_place_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_club_steps")),
        sa.UniqueConstraint("step", name=op.f("uq_club_steps_step")),
        sqlite_strict=True,
    )
    op.create_table(
        "club_tasks",
        sa.Column("id", _key(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("task_of", sa.Text(), nullable=False),
        sa.Column("task", sa.Text(), nullable=False),
        sa.Column("what_to_do", sa.Text(), nullable=False),
        sa.Column("every_months", sa.Integer(), nullable=True),
        sa.Column("every_nights", sa.Integer(), nullable=True),
        sa.Column("due_when", sa.Text(), nullable=True),
        sa.Column("caution", sa.Text(), nullable=True),
        sa.Column("source", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "(due_when IS NULL) = (coalesce(every_months, every_nights) IS NOT NULL)",
            name=op.f("ck_club_tasks_every_or_when"),
        ),
        sa.CheckConstraint("every_months BETWEEN 1 AND 240", name=op.f("ck_club_tasks_every_months_range")),
        sa.CheckConstraint("every_nights BETWEEN 1 AND 10000", name=op.f("ck_club_tasks_every_nights_range")),
        sa.CheckConstraint("length(caution) BETWEEN 1 AND 500", name=op.f("ck_club_tasks_caution_length")),
        sa.CheckConstraint("length(due_when) BETWEEN 1 AND 500", name=op.f("ck_club_tasks_due_when_length")),
        sa.CheckConstraint("length(source) BETWEEN 1 AND 500", name=op.f("ck_club_tasks_source_length")),
        sa.CheckConstraint("length(task) BETWEEN 1 AND 50", name=op.f("ck_club_tasks_task_length")),
        sa.CheckConstraint("length(task_of) BETWEEN 1 AND 200", name=op.f("ck_club_tasks_task_of_length")),
        sa.CheckConstraint(
            "length(what_to_do) BETWEEN 1 AND 500", name=op.f("ck_club_tasks_what_to_do_length")
        ),
        sa.CheckConstraint("place BETWEEN 1 AND 1000", name=op.f("ck_club_tasks_place_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_club_tasks")),
        sa.UniqueConstraint("task_of", "task", name=op.f("uq_club_tasks_task_of_task")),
        sqlite_strict=True,
    )
    op.create_table(
        "condition_words",
        sa.Column("id", _key(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("word", sa.Text(), nullable=False),
        sa.Column("means", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "means IN ('good', 'worn', 'damaged', 'missing')", name=op.f("ck_condition_words_means_known")
        ),
        sa.CheckConstraint("length(word) BETWEEN 1 AND 40", name=op.f("ck_condition_words_word_length")),
        sa.CheckConstraint("place BETWEEN 1 AND 1000", name=op.f("ck_condition_words_place_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_condition_words")),
        sa.UniqueConstraint("word", name=op.f("uq_condition_words_word")),
        sqlite_strict=True,
    )
    op.create_table(
        "loan_terms",
        sa.Column("id", _key(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=True),
        sa.Column("renewals", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(text) BETWEEN 1 AND 4000", name=op.f("ck_loan_terms_text_length")),
        sa.CheckConstraint("place BETWEEN 1 AND 1", name=op.f("ck_loan_terms_place_range")),
        sa.CheckConstraint("renewals BETWEEN 0 AND 100", name=op.f("ck_loan_terms_renewals_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_loan_terms")),
        sa.UniqueConstraint("place", name=op.f("uq_loan_terms_place")),
        sqlite_strict=True,
    )
    with _rebuilt("loan_parts") as batch:
        for word in WORDS:
            batch.add_column(sa.Column(word, sa.Text(), nullable=True))
            batch.create_check_constraint(
                op.f(f"ck_loan_parts_{word}_length"), f"length({word}) BETWEEN 1 AND 40"
            )
    for table in ("snags", "ticks"):
        with _rebuilt(table) as batch:
            batch.drop_constraint(op.f(f"ck_{table}_step_known"), type_="check")
            batch.create_check_constraint(op.f(f"ck_{table}_step_length"), "length(step) BETWEEN 1 AND 40")


def downgrade() -> None:
    """Steps of the club's own are given up: what happened at them goes to a step that was known before."""
    for table in ("ticks", "snags"):
        op.execute(f"UPDATE {table} SET step = '{OF_ANOTHER_STEP}' WHERE step NOT IN ({STEPS_BEFORE})")
        with _rebuilt(table) as batch:
            batch.drop_constraint(op.f(f"ck_{table}_step_length"), type_="check")
            batch.create_check_constraint(op.f(f"ck_{table}_step_known"), f"step IN ({STEPS_BEFORE})")
    with _rebuilt("loan_parts") as batch:
        for word in WORDS:
            batch.drop_constraint(op.f(f"ck_loan_parts_{word}_length"), type_="check")
            batch.drop_column(word)
    for table in ("loan_terms", "condition_words", "club_tasks", "club_steps"):
        op.drop_table(table)


@contextmanager
def _rebuilt(table: str) -> Iterator[BatchOperations]:
    """The table, to be changed; on SQLite it is made anew, which would leave out an index with a condition."""
    on_sqlite = op.get_bind().dialect.name == "sqlite"
    with_condition = on_sqlite and table == "loan_parts"
    if with_condition:
        op.drop_index(ONE_OUT, table)
    with op.batch_alter_table(
        table,
        recreate="always" if on_sqlite else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},  # this table alone is read, not all that it refers to
    ) as batch:
        yield batch
    if with_condition:
        op.create_index(
            op.f(ONE_OUT), table, ["equipment_id"], unique=True, sqlite_where=sa.text("back_on IS NULL")
        )


def _key() -> sa.Uuid[uuid.UUID]:
    return sa.Uuid().with_variant(sa.Text(), "sqlite")


def _yes_no() -> sa.Boolean:
    return sa.Boolean().with_variant(sa.Integer(), "sqlite")
