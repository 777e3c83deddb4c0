"""What is kept about people."""
