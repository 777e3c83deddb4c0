"""One prompt for the whole evening: a line an act, at a terminal or from a file."""
