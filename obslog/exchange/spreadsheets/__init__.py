"""The club's own spreadsheets: read as they are, whatever their heads are called, and written to be read again."""
