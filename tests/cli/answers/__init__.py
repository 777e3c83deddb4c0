"""What --json prints, held to its schemas."""
