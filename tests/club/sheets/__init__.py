"""Tests of obslog/club/sheets."""
