"""Tests of the acts of an evening."""
