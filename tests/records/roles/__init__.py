"""Roles on a server."""
