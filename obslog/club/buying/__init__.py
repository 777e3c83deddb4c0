"""Buying: what the club should get, by what waiting lists, use and losses tell."""
