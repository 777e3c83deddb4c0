"""Pictures of what the club's mounts and the sky do: each with a title, a description and the numbers behind it."""
