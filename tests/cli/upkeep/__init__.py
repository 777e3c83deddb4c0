"""Tests of obslog/cli/upkeep."""
