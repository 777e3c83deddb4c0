"""Tests of obslog/trends/attribution."""
