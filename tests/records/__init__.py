"""Tests of the records: field types, tables, opening, upgrading, acts and copies."""
