"""What is said at once, while a set-up lasts."""
