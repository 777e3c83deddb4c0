"""The whole schema: every table known to the one metadata, for upgrades, undoing and forgetting."""

from obslog.records.tables import kept, lending, logbook_tables, storeroom
from obslog.records.tables.base import Base

metadata = Base.metadata

__all__ = ["kept", "lending", "logbook_tables", "metadata", "storeroom"]
