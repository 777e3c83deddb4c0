"""The whole schema: every table known to the one metadata, for upgrades, undoing and forgetting."""

from obslog.records.tables import kept, lending, logbook_tables, officer, storeroom
from obslog.records.tables.base import Base

metadata = Base.metadata

for _table in metadata.tables.values():
    for _index in _table.indexes:
        if lending.WHERE in _index.info:
            _index.dialect_kwargs["postgresql_where"] = _index.info[lending.WHERE]

__all__ = ["kept", "lending", "logbook_tables", "metadata", "officer", "storeroom"]
