"""Bringing in what a club has in its own spreadsheets."""
