"""What the model of a mount leaves out: changes nobody wrote down, readings of one person, a jump at the flip."""
