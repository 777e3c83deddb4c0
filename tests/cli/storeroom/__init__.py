"""Tests of obslog/cli/storeroom."""
