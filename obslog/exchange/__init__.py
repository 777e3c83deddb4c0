"""Sheets that go in and come out."""
