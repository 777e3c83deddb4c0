"""Bundles and the log: what of it is told to other laptops, and what these tell is taken in."""
