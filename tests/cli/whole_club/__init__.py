"""A whole club as a folder of sheets."""
