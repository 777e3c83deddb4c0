"""Tests of the sky."""
