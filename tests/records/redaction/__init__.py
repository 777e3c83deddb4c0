"""Forgetting a person: their words in what was written, and in the record of acts."""
