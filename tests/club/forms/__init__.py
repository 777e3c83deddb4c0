"""Sheets to write on: what stands on each, compared with the records."""
