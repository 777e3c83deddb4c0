"""The guard of cells that a spreadsheet would run as a formula: an apostrophe before them, taken off on the way in.

Any text at all survives, also one that begins with apostrophes itself: whatever looks guarded is guarded once more. An
empty text is guarded too, for an empty cell means that nothing is known. Numbers are never guarded: who writes a cell
knows whether it is a text.
Source: OWASP, CSV Injection: cells that begin with = + - @, a tab, a carriage return, a line feed, or = + - @ in full
width.
"""

import re

_GUARDED = re.compile("'*(?:[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]|\\Z)")


def guarded(text: str) -> str:
    """The text as it stands in a cell."""
    return f"'{text}" if _GUARDED.match(text) else text


def unguarded(cell: str) -> str:
    """The text that a cell holds."""
    return cell[1:] if cell.startswith("'") and _GUARDED.match(cell) else cell
