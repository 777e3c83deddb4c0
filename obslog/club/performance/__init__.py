"""How well mounts point: landings, joint fits, trends, and whose the errors are."""
