"""How things of the store-room came, stand and return, and how late a loan is."""

from enum import StrEnum


class Found(StrEnum):
    """How an item, or a part of a kit that is only a label, stands in a stocktake."""

    SEEN = "seen"
    ELSEWHERE = "seen elsewhere"
    NOT_SEEN = "not seen"
    """Nobody ticked the item; of a part: it was looked for in its kit and was not there."""
    NOT_LOOKED_AT = "not looked at"
    """A part of a kit that nobody looked through."""
    ON_LOAN = "on loan"
    STILL_MISSING = "missing before"
    BACK = "missing before, and seen"
    AGAINST_RECORD = "seen, against the record"
    """It was seen, though by the records it is lent, retired or written off."""


class Condition(StrEnum):
    """In what condition a part goes out or comes back."""

    GOOD = "good"
    WORN = "worn"
    DAMAGED = "damaged"
    MISSING = "missing"


class ReminderLevel(StrEnum):
    """How late a loan was when its borrower was written to; the last is for one who waits and is next."""

    DUE_SOON = "due soon"
    DUE = "due"
    OVERDUE = "overdue"
    ESCALATED = "escalated"
    NEXT = "next"


class Acquired(StrEnum):
    """How the club came by a thing."""

    BOUGHT = "bought"
    GIFT = "gift"
    MADE = "made"
