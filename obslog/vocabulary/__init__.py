"""The words that are stored and typed, a file a subject: one word per thing; and what is worded once for all places."""
