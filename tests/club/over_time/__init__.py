"""Tests of obslog/club/over_time."""
