"""Tests of obslog/pointing/budget."""
