"""What is kept about people, why and for how long, and how they are made nameless when they leave."""
