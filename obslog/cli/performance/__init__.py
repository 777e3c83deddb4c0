"""Commands that show how well mounts point: fit and trend."""
