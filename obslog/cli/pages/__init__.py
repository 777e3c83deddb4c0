"""Pages for a browser, each written into a file."""
