"""Tests of obslog/sky/places."""
