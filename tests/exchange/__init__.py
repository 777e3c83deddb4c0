"""Tests of obslog/exchange."""
