"""Tests of obslog/club/checklist."""
