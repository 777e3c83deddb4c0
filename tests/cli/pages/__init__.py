"""Pages at the keyboard: where they are written, and what is refused."""
