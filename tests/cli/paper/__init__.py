"""Tests of obslog/cli/paper."""
