"""Tests of obslog/club/paper."""
