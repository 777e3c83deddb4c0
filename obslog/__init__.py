"""obslog: what a club's telescope mounts did, night after night, and what to do about it."""

__version__ = "0.1.0"
