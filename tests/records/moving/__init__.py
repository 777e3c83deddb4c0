"""A club moved to a server or back."""
