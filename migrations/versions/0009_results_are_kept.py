"""results are kept

What is computed of a mount's nights is kept, beside how often what it was computed from had changed by then. The
counting itself is not part of a revision: `obslog/records/change_counting.py` puts it there after every upgrade.

Revision 0009, after 0008. 2026-11-28 16:00:00.000000
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "mount_changes",
        sa.Column("mount_id", sa.Uuid().with_variant(sa.Text(), "sqlite"), nullable=False),
        sa.Column("changes", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("mount_id", name=op.f("pk_mount_changes")),
        sqlite_strict=True,
    )
    op.create_table(
        "kept_results",
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.Text(), nullable=False),
        sa.Column("payload", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("kind", "subject", name=op.f("pk_kept_results")),
        sqlite_strict=True,
    )
    op.execute("INSERT INTO mount_changes (mount_id, changes) SELECT id, 1 FROM mounts")


def downgrade() -> None:
    op.drop_table("kept_results")
    op.drop_table("mount_changes")
