"""Tests of obslog/report."""
