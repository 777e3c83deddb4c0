"""What is done between dusk and dawn, one line an act: the verbs, what each does with a line, and what stands open."""
