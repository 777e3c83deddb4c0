"""One JSON object with the keys of several types."""

from typing import Any


class Merged:
    """The keys of each of the parts together, which are types or keys with theirs; the later tells of a key of two."""

    def __init__(self, name: str, *parts: Any) -> None:
        self.name, self.parts = name, parts
