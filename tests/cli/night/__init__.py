"""Tests of obslog/cli/night."""
