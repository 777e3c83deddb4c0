"""Tests of obslog/club/sky."""
