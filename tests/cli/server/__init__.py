"""The commands about a club on a server."""
