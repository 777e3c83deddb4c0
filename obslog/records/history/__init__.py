"""The history of every record: acts, and what they changed."""
