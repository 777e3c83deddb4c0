"""Tests of obslog/trends/own."""
