"""Tests of obslog/pointing/model."""
