"""What pages show, read from the records."""
