"""The key of an observation from elsewhere: made of what it says, so that the same one is known again in any club."""

import re
from collections.abc import Iterable
from hashlib import sha256
from uuid import UUID

_OWN = re.compile(r"observation-([0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12})$")
_VERSION, _VARIANT = 8 << 76, 2 << 62


def own_key(id: str | None) -> UUID | None:
    """The key that an id of this program's own logs holds; None for the id of any other."""
    found = _OWN.match(id or "")
    return UUID(found[1]) if found else None


def content_key(told: Iterable[object]) -> UUID:
    """A key of version 8 (RFC 9562, section 5.8) from what is told, the same wherever the same is told.

    Ids are left out of it: programs number a log anew whenever they write it.
    """
    digest = sha256("\x1f".join("" if one is None else str(one) for one in told).encode()).digest()
    number = int.from_bytes(digest[:16], "big")
    number &= ~(0xF << 76) & ~(3 << 62)
    return UUID(int=number | _VERSION | _VARIANT)
