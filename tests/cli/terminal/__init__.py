"""Tests of obslog/cli/terminal."""
