"""Tests of obslog/pointing/planning."""
