"""Tests of obslog/cli/checklist."""
