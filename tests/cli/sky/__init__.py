"""Tests of obslog/cli/sky."""
