"""Commands for observations as files."""
