"""Observations out and in, as a sheet or as a log in an open schema."""
