"""Tests of obslog/club/live."""
