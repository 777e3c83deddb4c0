"""Slopes, landings, control charts and attribution: numpy and scipy only."""
