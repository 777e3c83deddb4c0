"""The store-room's papers: tags, values, places, gifts; a battery that fails by and by; services with cost and next.

Not everything has a value: an officer never finishes that list. None of these services is mechanical, so that no mount
points any differently.
"""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from functools import partial
from typing import Any

from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.retirement import write_off
from obslog.club.upkeep.batteries import note_test
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Acquired

from .load_storeroom import LOST_EYEPIECE, OFFICER, OVERDUE_TUBE, Dated, noons

FAILING_BATTERY = "Battery yellow"
FAILING_PERCENT = 55.0
WRITTEN_OFF = "Star-cloth bag"
VALUED_DAYS = 690
TRUNK, SHELF, LOFT = "iron trunk", "north shelf", "loft of the reading room"

# Name, tag, value, place; None where nobody has looked.
ON_THE_SHELVES: tuple[tuple[str, str | None, float | None, str | None], ...] = (
    ("Old Grumble", "M-01", 450, SHELF),
    ("Silver Heron", "M-02", 1100, SHELF),
    ("Bramble", "M-03", 900, SHELF),
    ("Anvil", "M-04", 650, LOFT),
    ("Harbour Light", "M-06", 1400, SHELF),
    ("Tortoise", "M-07", 800, LOFT),
    ("Pepperpot", "M-09", 220, TRUNK),
    ("Patched eight", "T-01", 380, SHELF),
    (OVERDUE_TUBE, "T-02", 300, SHELF),
    ("Legacy seven", "T-06", 950, LOFT),
    ("Window 33", "E-01", 60, TRUNK),
    (LOST_EYEPIECE, "E-09", 45, TRUNK),
    ("Battery grey", "B-01", 85, SHELF),
    (FAILING_BATTERY, "B-02", 40, SHELF),
    (WRITTEN_OFF, None, 15, LOFT),
    ("Lending finder", "F-04", None, TRUNK),
)
BATTERY_TESTS = (
    ("Battery grey", 60, 12.9, 12.4, 97.0),
    (FAILING_BATTERY, 640, 12.9, 12.3, 94.0),
    (FAILING_BATTERY, 290, 12.7, 11.8, 73.0),
    (FAILING_BATTERY, 30, 12.5, 11.2, FAILING_PERCENT),
)


def paper_acts(database: Database, last_night: date) -> Iterator[Dated]:
    """What the officer wrote down over the years."""
    noon = noons(last_night)
    for name, tag, value, place in ON_THE_SHELVES:
        told = {"tag": tag, "value": value, "place": place}
        known = {field: it for field, it in told.items() if it is not None}
        yield noon(VALUED_DAYS), partial(write_paper, database, name, known)
    yield from _acquisitions(database, noon)
    for name, days, rest, load, percent in BATTERY_TESTS:
        yield (
            noon(days),
            partial(note_test, database, name, rest_volts=rest, load_volts=load, capacity_percent=percent),
        )
    yield from _services(database, noon)
    yield noon(200), lambda at: write_off(database, WRITTEN_OFF, "mice, over the winter", at)


def _acquisitions(database: Database, noon: Callable[[int], datetime]) -> Iterator[Dated]:
    for name, days, how, cost in (
        ("Bramble", 3300, Acquired.BOUGHT, 1200.0),
        ("Harbour Light", 1400, Acquired.BOUGHT, 1600.0),
        ("Legacy seven", 1400, Acquired.GIFT, None),
        ("Window 33", 150, Acquired.GIFT, None),
        ("Battery grey", 90, Acquired.BOUGHT, 85.0),
    ):
        values: dict[str, Any] = {"acquired": how, "acquired_on": noon(days).date()}
        if cost is not None:
            values |= {"cost": cost}
        if days < VALUED_DAYS:  # what came since then was valued when it came
            values |= {"valued_on": noon(days).date()}
        yield noon(60), partial(write_paper, database, name, values)


def _services(database: Database, noon: Callable[[int], datetime]) -> Iterator[Dated]:
    """One of each way in which a next service falls due."""
    work: tuple[tuple[int, str, str, str, Bill, tuple[str, ...]], ...] = (
        (
            400,
            "mount",
            "Tortoise",
            "greased, clutches wiped",
            Bill(cost=18, parts="grease", next_in_months=12),
            ("grease",),
        ),
        (
            240,
            "mount",
            "Bramble",
            "leads renewed",
            Bill(cost=26.5, parts="two leads, a fuse", next_after_nights=15),
            ("cables",),
        ),
        (230, "tube", "Patched eight", "collimated on a star", Bill(), ("collimation",)),
        (420, "item", "Red-dot finder A", "new button cell", Bill(cost=2.4, parts="button cell"), ("cell",)),
        (
            130,
            "mount",
            "Pepperpot",
            "base screws tightened",
            Bill(cost=0, next_when="the base rocks again"),
            (),
        ),
        (100, "mount", "Anvil", "saddle looked at again; holds", Bill(cost=35, next_in_months=6), ()),
    )
    for days, kind, name, text, bill, tasks in work:
        done_on = noon(days).date()
        yield (
            noon(days),
            partial(add_service, database, kind, name, text, on=done_on, by=OFFICER, bill=bill, tasks=tasks),
        )
