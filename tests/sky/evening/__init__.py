"""Tests of obslog/sky/evening."""
