"""Merging: the rows of the tables made from the log of several laptops, whatever the database refuses beside what."""
