"""What went wrong at which step of a set-up, what helped, and what the workshop did about it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from .evenings import Random
from .records import ServiceRecord, SnagRecord
from .setups import Setup
from .stories import one_of
from .truth import KNOCK_DAY, REPAIR_DAY

SLIP_REMEDIES = {
    "summer time": ("clock was an hour out: summer time not set", "set summer time to yes"),
    "day and month": ("day and month swapped", "typed the date again, read it aloud"),
    "longitude sign": ("longitude typed as west", "set longitude to east"),
}

# Step, text, remedy; an empty remedy is one that was not found.
COMMON_SNAGS = (
    ("pack", "eyepiece case left at home", "borrowed one"),
    ("pack", "hand controller still in the store", ""),
    ("ground", "one foot sank a finger's breadth", "moved it on to a pad"),
    ("level", "bubble off again after an hour", "levelled again before the polar axis"),
    ("assemble", "saddle screw not done up", "tightened, marked it with tape"),
    ("balance", "tube drooped when the clutch was loosened", "slid it forward two fingers"),
    ("finder", "finder pointing at the next field", "aligned it on a chimney before dark"),
    ("cables", "cable pulled tight on the far side", "led it along the tripod leg"),
    ("power", "slews slowed and the display dimmed", "changed the battery"),
    ("cool", "star images boiling for the first half hour", "waited"),
    ("key-in", "typed last month's site", "chose the right one from the list"),
    ("sync-stars", "took the neighbour of the star for the star", "checked with the chart"),
    ("centre", "star wandered off while centring", "always finished with the same two keys"),
    ("verify", "forgot to check on a third star", ""),
    ("write-down", "pencil frozen, wrote it up next day", ""),
    ("finish", "dew cap left on the grass", "fetched it next morning"),
)
EQUATORIAL_SNAGS = (
    ("home", "home mark a finger off", "set it against the mark again"),
    ("polar-axis", "axis slipped when the lock was tightened", "did it again with the lock half on"),
)
NORTHERN_SNAGS = (*EQUATORIAL_SNAGS, ("polar-axis", "pole star behind the alder", "moved ten paces"))
SOUTHERN_SNAGS = (
    *EQUATORIAL_SNAGS,
    ("polar-axis", "no star to be seen near the pole", "used the pad's marks"),
)

MOUNT_SNAGS = {
    "Bramble": (
        ("centre", "plays when rocked by hand, more than it used to", ""),
        ("verify", "same star lands differently from east and from west", "came at it from one side only"),
        ("centre", "keys answer late after turning round", ""),
    ),
    "Old Grumble": (
        ("polar-axis", "axis nowhere near the pole, and it got the blame", ""),
        ("sync-stars", "pointing bad again, typical", ""),
    ),
    "Silver Heron": (("verify", "other side of the meridian is off, must have been me", ""),),
    "Anvil": (("assemble", "needs two to lift the tube", "waited for help"),),
    "Thistledown": (("polar-axis", "scale set to the latitude, pole star nowhere", "ignored the scale"),),
    "Pepperpot": (
        ("finder", "red dot fell off its bracket", "tape"),
        ("level", "base rocks on one foot", "folded beer mat"),
    ),
    "Nightjar": (("power", "cells flat by eleven", "fresh set in the lid"),),
    "Kelp": (("cables", "plug green with salt", "cleaned the pins"),),
}
AFTER_KNOCK = (
    ("verify", "nothing where it should be since the fall", ""),
    ("assemble", "clonk in the second axis when rocked", ""),
    ("balance", "tube no longer sits straight in the saddle", "shimmed it with card"),
)
KNOCK = (
    "finish",
    "wind took the tripod over while we packed; Anvil fell on the saddle side with the tube on",
    "picked it up and turned it by hand; to be looked at",
)


@dataclass(frozen=True, slots=True)
class Occasion:
    setup: Setup
    day: int
    is_knock: bool


def snags_of(setups: Sequence[Setup], first_day: date, rng: Random) -> list[SnagRecord]:
    """All snags of the two years in order of set-up."""
    days = [(setup.truth.key.night - first_day).days for setup in setups]
    before_knock = [
        row for row, setup in enumerate(setups) if setup.mount.name == "Anvil" and days[row] < KNOCK_DAY
    ]
    return [
        snag
        for row, setup in enumerate(setups)
        for snag in snags_at(Occasion(setup, days[row], row == before_knock[-1]), rng)
    ]


def snags_at(occasion: Occasion, rng: Random) -> list[SnagRecord]:
    """The snags of one set-up; a few slips are never found out."""
    setup = occasion.setup
    found = []
    if setup.truth.slip and rng.random() < 0.85:
        found.append(snag(setup, ("key-in", *SLIP_REMEDIES[setup.truth.slip]), 4))
    if setup.given_up:
        return found
    common = common_snags_of(setup)
    if rng.random() < 0.16:
        found.append(snag(setup, common[int(rng.integers(len(common)))], 12))
    own = snags_known_of(setup.mount.name, occasion.day)
    if own and rng.random() < chance_of_own(setup.mount.name, occasion.day):
        found.append(snag(setup, own[int(rng.integers(len(own)))], 25))
    if occasion.is_knock:
        found.append(snag(setup, KNOCK, 0, setup.end_utc))
    return found


def common_snags_of(setup: Setup) -> tuple[tuple[str, str, str], ...]:
    """What can go wrong with any mount of its type under this sky."""
    if setup.mount.mount_type == "altaz":
        return COMMON_SNAGS
    return COMMON_SNAGS + (SOUTHERN_SNAGS if setup.site.lat_deg < 0 else NORTHERN_SNAGS)


def snags_known_of(mount: str, day: int) -> tuple[tuple[str, str, str], ...]:
    if mount == "Anvil" and KNOCK_DAY <= day < REPAIR_DAY:
        return AFTER_KNOCK
    return MOUNT_SNAGS.get(mount, ())


def chance_of_own(mount: str, day: int) -> float:
    """How often a mount's own snags are met: Bramble's more and more, Anvil's most after its fall."""
    if mount == "Bramble":
        return 0.03 + 0.3 * day / 730
    if mount == "Anvil":
        return 0.45 if KNOCK_DAY <= day < REPAIR_DAY else 0.06
    return 0.10


def snag(setup: Setup, words: tuple[str, str, str], minutes: int, utc: datetime | None = None) -> SnagRecord:
    when = utc or setup.start_utc + timedelta(minutes=minutes)
    return SnagRecord(setup.truth.key, setup.truth.observer, when, *words)


def services_of(first_day: date, rng: Random) -> list[ServiceRecord]:
    """The workshop's book. Only Anvil's repair changed any mount's pointing."""
    officer, watchmaker = "Hamish Dunbar-Voss", "Tomasz Wilga"
    routine = ("cleaned and greased", "screws checked, battery leads renewed", "dust off, clutches wiped")
    book = [
        (60, "Tortoise", officer, False, one_of(routine, rng)),
        (150, "Harbour Light", watchmaker, False, one_of(routine, rng)),
        (210, "Old Grumble", officer, False, "checked over because of complaints; nothing found"),
        (340, "Pepperpot", officer, False, "cleaned; base screws tightened"),
        (460, "Marigold", "Maud Ellery", False, one_of(routine, rng)),
        (520, "Long Paddock", "Ngaire Holloway", False, "new grease for the winter"),
        (
            REPAIR_DAY,
            "Anvil",
            watchmaker,
            True,
            "saddle straightened, second axis taken apart and adjusted; not what it was, but usable",
        ),
        (655, "Nightjar", officer, False, one_of(routine, rng)),
    ]
    return [
        ServiceRecord(mount, first_day + timedelta(days=day), by, mechanical, text)
        for day, mount, by, mechanical, text in book
    ]
