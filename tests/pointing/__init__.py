"""Tests: The mount's geometry."""
