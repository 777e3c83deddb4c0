"""Tests of what goes out into bundles and comes in from them."""
