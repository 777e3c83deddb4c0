"""Tests of who is reminded of what."""
