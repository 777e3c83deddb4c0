"""Members who left and were made nameless: how that stands in the record of acts, and what stays as it was called.

The act that makes a member nameless says so for good: of what was there before it keeps the key and nothing else.
"""

from collections.abc import Mapping
from typing import Any

from obslog.errors import ObslogError

NEUTRAL = "Former member"
"""What stands in texts for a member who was made nameless; their own record has it with the end of its key."""
TAKEN_OUT = "(taken out)"
"""What stands in texts for a telephone number or another way in which they were reached."""
MEMBER = "Member"
NAMES = frozenset({"name", "name_key", "label", "target", "file_name", "tag"})
"""What something, or somebody else, is called: that stays, for it is the officer's to change."""


class HasLeft(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} has already left.", "See who is here: obslog member list")


def made_nameless(before: Mapping[str, Any] | None) -> bool:
    """Whether an entry with this image of what was there before made a member nameless."""
    return before is not None and before.keys() == {"id"}


def has_left(name: str) -> bool:
    """Whether a member is on record by a neutral name alone."""
    return name.startswith(NEUTRAL)


def refuse_who_left(name: str) -> None:
    """Nothing more is written of who left: by the log it would not count. Raises HasLeft."""
    if has_left(name):
        raise HasLeft(name)
