"""Verdicts on equipment from evidence, and which kit to lend."""
