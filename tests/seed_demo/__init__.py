"""Tests: The invented club and its truth."""
