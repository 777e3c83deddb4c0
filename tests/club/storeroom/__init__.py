"""Tests of obslog/club/storeroom."""
