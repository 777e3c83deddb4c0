"""Typing up a night from paper."""
