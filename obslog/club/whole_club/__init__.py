"""A whole club out into a folder of sheets, and in again."""
