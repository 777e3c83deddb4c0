"""Tests of the care of the database's file."""
