"""Arrivals in from sheets and out to sheets."""
