"""Tests of obslog/trends/landings."""
