"""Landing errors from offsets and from words."""
