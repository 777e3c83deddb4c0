"""Tests of the grammar of an evening's lines."""
