"""Tests: Slopes, charts, landings and attribution."""
