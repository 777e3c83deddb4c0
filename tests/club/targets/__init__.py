"""Tests of obslog/club/targets."""
