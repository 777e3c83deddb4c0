"""The database: tables, field types, opening, upgrading, queries."""
