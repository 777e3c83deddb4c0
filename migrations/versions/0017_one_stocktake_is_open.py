"""one stocktake is open at a time

The database itself keeps a second one out, whoever writes into it. Of several that are open the first stays so, and
the others are let go: the program, once the tables are as they are to be, makes them one with it, as it does with
those of two laptops.

Revision 0017, after 0016. 2026-11-29 10:40:00.000000
"""

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

_LET_GO = """
UPDATE stocktakes SET finished_on = '9999-12-31'
WHERE finished_on IS NULL AND EXISTS (
    SELECT 1 FROM stocktakes AS first WHERE first.finished_on IS NULL AND first.id < stocktakes.id
)
"""


def upgrade() -> None:
    op.execute(_LET_GO)
    still_open = sa.text("finished_on IS NULL")
    op.create_index(
        op.f("ix_stocktakes_open"),
        "stocktakes",
        [sa.text("(finished_on IS NULL)")],
        unique=True,
        sqlite_where=still_open,
        postgresql_where=still_open,
    )


def downgrade() -> None:
    op.drop_index(op.f("ix_stocktakes_open"), "stocktakes")
