"""Tests of obslog/pointing/tonight."""
