"""Kits, loans, waiting lists, losses, and where each thing is."""
