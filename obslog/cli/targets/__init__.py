"""Commands for what to look at: the sky, targets, optics, and progress through lists."""
