"""Pages: what is written, read back by a strict parser and a browser."""
