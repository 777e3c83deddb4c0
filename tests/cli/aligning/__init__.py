"""Tests of obslog/cli/aligning."""
