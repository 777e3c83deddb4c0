"""Tests of the grammar."""
