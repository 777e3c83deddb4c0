"""Tests of obslog/cli/targets."""
