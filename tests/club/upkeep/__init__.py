"""Tests of obslog/club/upkeep."""
