"""Which mistake explains where the first star landed."""
