"""What is kept about people, told on the command line, and their leaving."""
