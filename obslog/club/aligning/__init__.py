"""How to align a mount: sync stars, drift, and the mistake behind a first miss."""
