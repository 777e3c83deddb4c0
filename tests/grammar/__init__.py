"""Tests of obslog/grammar."""
