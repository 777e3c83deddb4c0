"""Tests of the mount's mathematics."""
