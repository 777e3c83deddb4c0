"""Commands before the night: the brief and the checklist."""
