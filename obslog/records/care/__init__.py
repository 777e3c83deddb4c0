"""The care of the database's file: copies of it, going back to one, and what a full check finds."""
