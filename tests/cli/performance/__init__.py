"""Tests of obslog/cli/performance."""
