"""The shelves: counting what is on them, and labels for it."""
