"""Tests of obslog/sky/contrast."""
