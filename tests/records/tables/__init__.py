"""Tests of obslog/records/tables."""
