"""A whole club as a folder of sheets with a data package description, as files: no database here."""
