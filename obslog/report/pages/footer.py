"""The foot of every page: which program made it, from which database, and which rows stand behind it."""

from obslog import __version__
from obslog.club.pages.basis import Basis, Rows
from obslog.records.upgrading import SCHEMA_REVISION


def footer_lines(basis: Basis) -> list[str]:
    """The lines of the foot, in order."""
    used = ", ".join(rows.words for rows in basis.used)
    left_out = "; ".join(_with_reason(rows) for rows in basis.left_out)
    return [
        f"Used: {used}." if used else "Nothing is on record for this page yet.",
        f"Left out: {left_out}." if left_out else "Nothing was left out.",
        f"Made by obslog {__version__} from a database of schema revision {SCHEMA_REVISION}, as it stood on "
        f"{basis.day}.",
    ]


def _with_reason(rows: Rows) -> str:
    return f"{rows.words} ({rows.why})" if rows.why else rows.words
