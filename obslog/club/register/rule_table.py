"""Every number by which the club lends and judges its items, with its default and what it is for.

The defaults are common practice among lending clubs, not from a publication, unless the meaning says otherwise.
"""

from collections.abc import Mapping
from dataclasses import dataclass

PERCENT = "percent"
DEPRECIATION_YEARS_OF = {
    kind: f"depreciation-years-{kind}s" for kind in ("mount", "tube", "eyepiece", "item")
}
WAYS_TO_DEPRECIATE = ("depreciation-years", "depreciation-percent")
MONTHS = tuple(f"{month:02d}" for month in range(1, 13))


@dataclass(frozen=True, slots=True)
class Rule:
    """One number: its default (None: not in force until set), the ends of what it may be, its unit and meaning."""

    default: float | None
    low: float
    high: float
    unit: str
    meaning: str


CURRENCY = "currency"
CURRENCY_RULE = Rule(None, 0, 0, "", "the currency in which amounts of money are shown, by its ISO 4217 code")
"""The one rule that is a word."""


RULES: Mapping[str, Rule] = {
    "loan-days": Rule(28, 1, 3660, "days", "how long a loan lasts, where the kit has no term of its own"),
    **{
        f"loan-days-{month}": Rule(
            None, 1, 3660, "days", f"how long a loan lasts that begins in month {month}"
        )
        for month in MONTHS
    },
    "due-soon-days": Rule(7, 0, 365, "days", "how long before its due date a loan is called due soon"),
    "fewest-setups": Rule(6, 2, 1000, "set-ups", "with fewer, a mount is not judged"),
    "fewest-observers": Rule(
        2, 2, 100, "members", "with fewer, a mount is not judged: it might be the person"
    ),
    "effect-watch": Rule(
        1.0,
        0.5,
        10,
        "times",
        "watch a mount whose landing error, with its uncertainty, is surely above this many times the club's average",
    ),
    "bad-name": Rule(
        1.25,
        1,
        10,
        "times",
        "above this ratio the review says explicitly that a sound mount is not at fault",
    ),
    "scatter-watch": Rule(
        3.0,
        0.1,
        600,
        "arcmin",
        "watch a mount whose own scatter per axis is surely larger; readings by eye alone scatter about 2",
    ),
    "scatter-service": Rule(5.0, 0.1, 600, "arcmin", "service a mount whose own scatter is surely larger"),
    "growth-service": Rule(
        1.5,
        1,
        100,
        "times",
        "service a worsening mount whose landing error grows by at least this in a year, or in the days it was seen "
        "where these are fewer than half a year",
    ),
    "alarm-days": Rule(180, 1, 3660, "days", "how long an alarm of the control chart counts"),
    "alarms-a-year": Rule(
        1,
        0.01,
        100,
        "a year",
        "how many false alarms of the control chart all mounts together may make in a year",
    ),
    "alarms-watch": Rule(
        2, 2, 100, "nights", "watch a mount whose landing error was over the limit on so many nights"
    ),
    "snag-days": Rule(365, 1, 3660, "days", "how long a snag counts"),
    "snag-members": Rule(
        3, 2, 100, "members", "watch a mount with one kind of open snag among so many different members"
    ),
    "crooked-watch": Rule(
        10, 1, 600, "arcmin", "watch a mount whose cone error, squareness or sag is surely larger than this"
    ),
    "idle-days": Rule(365, 1, 3660, "days", "an item that was not used or lent for so long is idle"),
    "overdue-out": Rule(0, 0, 365, "days", "days of grace before a loan counts as overdue"),
    "remind-again-days": Rule(
        14, 1, 365, "days", "how long after its due date a loan is told of as a second reminder"
    ),
    "remind-officer-days": Rule(
        28, 1, 3660, "days", "how long after its due date an overdue loan is for the officer to see to"
    ),
    "fault-days": Rule(
        3, 0, 60, "days", "a fault reported within so many days of going out is not blamed on the borrower"
    ),
    "beginner-setups": Rule(5, 0, 1000, "set-ups", "a member with fewer on record borrows as a beginner"),
    "beginner-aperture-mm": Rule(150, 1, 2000, "mm", "the largest aperture lent to a beginner without help"),
    "beginner-weight-kg": Rule(12, 1, 500, "kg", "the heaviest kit lent to a beginner without help"),
    "battery-percent": Rule(60, 1, 100, PERCENT, "a battery with less of its capacity needs replacing"),
    "keep-leavers-months": Rule(
        24,
        0,
        600,
        "months",
        "how long the name of somebody who left is kept; then `member leavers` calls it due",
    ),
    "depreciation-years": Rule(
        None, 1, 100, "years", "over how many years the cost of an item is written down in a straight line"
    ),
    **{
        rule: Rule(
            None, 1, 100, "years", f"over how many years that of {kind}s is, in place of the rule for all"
        )
        for kind, rule in DEPRECIATION_YEARS_OF.items()
    },
    "depreciation-percent": Rule(
        None,
        0.1,
        99,
        PERCENT,
        "how much less an item is worth each year, of what is left, where no line is set",
    ),
    "depreciation-floor-percent": Rule(
        None, 0, 100, PERCENT, "to how much of its cost an item is written down at most"
    ),
    "wanted-use-percent": Rule(
        75, 1, 100, PERCENT, "what is lent or used for so large a share of the time is one of those to buy"
    ),
    "wanted-missing-days": Rule(
        90, 0, 3660, "days", "how long an item has been missing before it is one of those to buy"
    ),
    "wanted-fewest-members": Rule(
        3, 1, 100, "members", "with fewer who asked in two years, how much something is wanted is not sure"
    ),
    "wanted-fewest-loans": Rule(
        5, 1, 1000, "loans", "with fewer in a year, how much an item is used is not sure"
    ),
}

OF_CATEGORY: Mapping[str, Rule] = {
    "depreciation-years-of-": Rule(
        None, 1, 100, "years", "over how many years the cost of an item of that category is written down"
    ),
    "depreciation-percent-of-": Rule(
        None, 0.1, 99, PERCENT, "how much less an item of that category is worth each year, of what is left"
    ),
}
"""Rules that a club may set for a category of its items, with its name behind: `depreciation-years-of-finder`."""
