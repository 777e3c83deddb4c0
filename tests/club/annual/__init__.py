"""Tests of obslog/club/annual."""
