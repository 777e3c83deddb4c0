"""The history of every record: acts, what they changed, and taking them back."""
