"""Tests of obslog/club/routine."""
