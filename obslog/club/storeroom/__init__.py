"""Kits, loans, waiting lists, losses, and where each item is."""
