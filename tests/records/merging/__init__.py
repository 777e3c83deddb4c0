"""Tests of merging: rows made from the log of several laptops."""
