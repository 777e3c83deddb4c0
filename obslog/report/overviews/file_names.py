"""Names of files that every system takes: small letters of the alphabet, digits and hyphens, each name once."""

import re
from collections.abc import Iterable
from unicodedata import normalize

LONGEST = 60
UNNAMED = "unnamed"
_RESERVED = frozenset(
    {
        "con",
        "prn",
        "aux",
        "nul",
        "conin",
        "conout",
        *(f"{port}{n}" for port in ("com", "lpt") for n in range(10)),
    }
)
"""What Windows takes for a machine's port, whatever the ending."""
_NOT_KEPT = re.compile(r"[^a-z0-9]+")


def slug(name: str) -> str:
    """The name in small plain letters; what has none of them is `unnamed`."""
    plain = normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode("ascii")
    short = _NOT_KEPT.sub("-", plain.replace("'", "")).strip("-")[:LONGEST].strip("-")
    if not short:
        return UNNAMED
    return f"{short}-" if short in _RESERVED else short


def file_names(kind: str, names: Iterable[str]) -> dict[str, str]:
    """A file for each name, `mount-old-grumble.html`; of names that come out alike the later ones get a number."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for name in names:
        if name in found:
            continue
        own = slug(name)
        chosen, number = own, 1
        while chosen in taken:
            number += 1
            chosen = f"{own}-{number}"
        taken.add(chosen)
        found[name] = f"{kind}-{chosen}.html"
    return found
