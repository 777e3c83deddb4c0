"""The whole schema: every table known to the one metadata, for upgrades, undoing and forgetting."""

from obslog.records.tables import lending, logbook_tables, storeroom
from obslog.records.tables.base import Base

metadata = Base.metadata

__all__ = ["lending", "logbook_tables", "metadata", "storeroom"]
