"""Taking acts back, and doing them again: each is an act of its own."""
