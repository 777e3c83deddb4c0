"""Tests of obslog/sky/names."""
