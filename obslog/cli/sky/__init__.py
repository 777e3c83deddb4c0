"""The commands that tell the sky from a site."""
