"""Pictures: what is drawn, said and listed."""
