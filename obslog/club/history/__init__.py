"""What the history tells, in plain words: the newest acts, what one of them did, and the life of a record."""
