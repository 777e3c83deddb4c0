"""Observations out of the club and into it as a log in the open schema."""
