"""How much a bundle may hold. It comes from somebody else: what is beyond these is refused before it costs memory."""

from dataclasses import dataclass
from datetime import timedelta

MOST_ROWS_A_LINE = 1_000
LONGEST_MANIFEST = 4096
"""In bytes, with the end of its line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The ends of what is taken. Sizes are in bytes, of the contents packed and unpacked, or of one line of them."""

    packed: int = 256 * 1024**2
    unpacked: int = 2 * 1024**3
    ratio: int = 200
    """Unpacked over packed. A club's records come to 3 to 30; zeros alone to 1,000."""
    line: int = 2 * 1024**2
    lines: int = 5_000_000
    rows: int = MOST_ROWS_A_LINE
    columns: int = 200
    text: int = 100_000
    """In characters."""
    depth: int = 6
    """Lists and objects inside each other; a line of records has 4."""
    ahead: timedelta = timedelta(days=2)
    """How far the clock of another laptop may be ahead of this one's."""


LIMITS = Limits()
