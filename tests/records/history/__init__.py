"""Tests of the history of records."""
