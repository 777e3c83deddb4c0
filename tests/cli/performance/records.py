"""Records of pointing made by hand, with numbers that are easy to tell apart on a screen."""

from datetime import date, timedelta
from uuid import UUID

from obslog.values import SetupId

FIRST_NIGHT = date(2026, 1, 5)
SOURCES = ("whose", "ratio", "from", "to", "worse", "set-ups")
"""Heads of the table of whose the errors are."""


def night(place: int) -> date:
    """A Monday, weekly from 5 January 2026."""
    return FIRST_NIGHT + timedelta(days=7 * place)


def setup_id(place: int) -> SetupId:
    """The set-up of a week at the Tarn: the first, second or third of its night."""
    return SetupId(key=UUID(int=place), night=night(place), setup=place % 3 + 1, site="Tarn", mount="Heron")
