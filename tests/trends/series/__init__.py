"""Tests of obslog/trends/series."""
