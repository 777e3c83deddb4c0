"""A club moved from one database to another, compared row by row."""
