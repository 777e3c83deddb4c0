"""Bundles of acts, written and read."""
