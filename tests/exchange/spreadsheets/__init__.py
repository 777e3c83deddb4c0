"""The club's own spreadsheets, read and written."""
