"""Pictures of the sky: what is drawn, said and listed."""
