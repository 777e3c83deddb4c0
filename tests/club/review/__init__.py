"""Tests of obslog/club/review."""
