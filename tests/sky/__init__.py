"""Tests: The sky."""
