"""Tests of obslog/cli/look."""
