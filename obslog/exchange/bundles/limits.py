"""How much a bundle may hold. It comes from somebody else: what is beyond these is refused before it costs memory."""

from dataclasses import dataclass
from datetime import timedelta

LONGEST_MANIFEST = 4096
"""In bytes, with the end of its line."""
MOST_ROWS_A_LINE = 1_000
MOST_COLUMNS = 200
LONGEST_TEXT = 100_000
LONGEST_SENTENCE = 1_000
DEEPEST = 6
"""Lists and objects inside each other; a line of records has 4."""
LARGEST_NUMBER, SMALLEST_NUMBER = 2**63 - 1, -(2**63)
"""Whole numbers, as far as a table keeps them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The ends of what is taken. Sizes are in bytes: of the contents packed and unpacked, and of one line of them."""

    packed: int = 256 * 1024**2
    unpacked: int = 2 * 1024**3
    ratio: int = 200
    """Unpacked over packed. A club's records come to 3 to 30, nothing but zeros to 1,000."""
    line: int = 2 * 1024**2
    lines: int = 5_000_000
    ahead: timedelta = timedelta(days=2)
    """How far the clock of another laptop may be ahead of this one's."""


LIMITS = Limits()
