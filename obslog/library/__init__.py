"""The club's records for people who write their own programs: typed records, arrays and frames, names as in JSON."""
