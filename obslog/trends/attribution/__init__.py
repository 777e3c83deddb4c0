"""Whose error it is: crossed random effects."""
