"""Pages for a browser: what stands on them, from values handed in, and the one way to write them."""
