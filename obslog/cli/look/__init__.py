"""How output looks: its colours, its signs, and what is longer than the screen."""
