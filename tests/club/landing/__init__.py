"""Tests of obslog/club/landing."""
