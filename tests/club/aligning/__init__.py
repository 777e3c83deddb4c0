"""Tests of obslog/club/aligning."""
