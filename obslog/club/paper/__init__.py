"""A night typed up from paper: its page, tried as it is typed, and saved as one act."""
