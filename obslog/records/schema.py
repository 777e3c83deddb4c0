"""The whole schema: every table known to the one metadata, for upgrades, undoing and forgetting."""

from obslog.records import lending, storeroom, tables
from obslog.records.base import Base

metadata = Base.metadata

__all__ = ["lending", "metadata", "storeroom", "tables"]
