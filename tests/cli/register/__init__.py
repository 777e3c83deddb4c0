"""Commands for what is on record by name."""
