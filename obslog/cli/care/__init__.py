"""Commands for the care of the database: where it is, copies, going back to one, a full check."""
