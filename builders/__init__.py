"""Makes the tables of stars and deep-sky objects; run by hand, not shipped in the wheel."""
