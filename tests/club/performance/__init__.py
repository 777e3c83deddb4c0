"""Tests of obslog/club/performance."""
