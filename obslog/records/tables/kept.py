"""Tables that hold nothing of their own: results that were computed from the others, and when these changed.

What is kept may be emptied at any time; of a mount without a count nothing is kept. They are no records: no act notes
them, and no mapped class stands for them.
"""

from sqlalchemy import Column, Integer, LargeBinary, Table, Text

from obslog.records.tables.base import Base
from obslog.records.tables.column_types import Key

mount_changes = Table(
    "mount_changes",
    Base.metadata,
    Column("mount_id", Key(), primary_key=True),
    Column("changes", Integer, nullable=False),
    sqlite_strict=True,
)
"""How often what is computed of a mount's nights has changed; counted by the database itself (change_counting.py).

It refers to no mount: one that is taken away and put back goes on counting where it was.
"""

kept_results = Table(
    "kept_results",
    Base.metadata,
    Column("kind", Text, primary_key=True),
    Column("subject", Text, primary_key=True),
    Column("fingerprint", Text, nullable=False),
    Column("payload", LargeBinary, nullable=False),
    sqlite_strict=True,
)
"""What was computed, of which mount (or of the club), and the fingerprint of all that it was computed from."""
