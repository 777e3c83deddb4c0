"""Tables that hold nothing of their own: results that were computed from the others, when these changed, and records
of the log of acts that have no place in their own table.

What is kept may be emptied at any time; of a mount without a count nothing is kept. They are no records: no act notes
them, and no mapped class stands for them.
"""

from sqlalchemy import Column, Index, Integer, LargeBinary, Table, Text

from obslog.records.tables.base import Base
from obslog.records.tables.column_types import Key
from obslog.records.tables.keys import new_key

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

parked_records = Table(
    "parked_records",
    Base.metadata,
    Column("id", Key(), primary_key=True, default=new_key),
    Column("record_kind", Text, nullable=False),
    Column("record_id", Key(), nullable=False),
    Column("why", Text, nullable=False),
    Column("against_id", Key(), nullable=True),
    Column("image", Text, nullable=False),
    Index(None, "record_id"),
    sqlite_strict=True,
)
"""Records that cannot stand in their table, a word why, and the record beside which they cannot."""

record_obstacles = Table(
    "record_obstacles",
    Base.metadata,
    Column("id", Key(), primary_key=True),
    Column("record_kind", Text, nullable=False),
    Column("record_id", Key(), nullable=False),
    Column("why", Text, nullable=False),
    Column("against_id", Key(), nullable=True),
    Index(None, "record_id"),
    Index(None, "against_id"),
    sqlite_strict=True,
)
"""Why a record does not stand in its table as the log says: every reason, and the record that is in the way."""

told_acts = Table("told_acts", Base.metadata, Column("id", Key(), primary_key=True), sqlite_strict=True)
"""The acts that a bundle written here has told already; only what is not among them is new to tell."""
