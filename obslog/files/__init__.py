"""Files that are written: whole or not at all, for their owner alone, and what goes wrong with them in sentences."""
