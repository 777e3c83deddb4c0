"""Commands for the care of the database."""
