"""Databases that are only looked at."""
