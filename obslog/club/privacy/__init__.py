"""What is kept about people, why, and for how long."""
