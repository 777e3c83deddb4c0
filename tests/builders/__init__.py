"""Tests of what makes the tables."""
