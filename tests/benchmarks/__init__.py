"""Measured ratios, printed by `python -m tests.benchmarks`."""
