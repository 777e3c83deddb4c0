"""Tests of obslog/pointing/mistakes."""
