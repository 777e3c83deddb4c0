"""Tests of obslog/club/night."""
