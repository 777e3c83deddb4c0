"""Nights of the demo club's truth after its two years, typed in arrival by arrival through the acts of the club.

Mount model, controllers, star places and eyes are those of `seed_demo`, which shares nothing with the program's own.
"""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

import numpy as np

from obslog.club.live.answers import LiveAnswer, what_is_new
from obslog.club.live.answers_now import answers_now
from obslog.club.live.situation import LiveMemory
from obslog.club.night.arrivals import ArrivalEntry, record_arrival
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice, SetupChoice
from obslog.club.night.setups import start_setup
from obslog.offsets import WrittenOffset
from obslog.records.opening import Database
from obslog.vocabulary import PierSide, Role
from seed_demo.arrivals import landings
from seed_demo.club import MOUNTS, SITES
from seed_demo.seasons import dark_hours
from seed_demo.setups import Setup
from seed_demo.sheet import reading_of
from seed_demo.truth import DAYS, HABITS, SetupKey, SetupTruth, era_on, scatter_on
from seed_demo.visits import Visit, visits_of

CAREFUL = replace(HABITS[0], wrong_star=0.0, typing_slip=0.0)
NORTHERN_SITE = SITES[0]


@dataclass(frozen=True)
class Typed:
    """One arrival as it was read and typed: where it stood, and what is wrong with it."""

    visit: Visit
    east_arcmin: float
    north_arcmin: float


@dataclass(frozen=True)
class Evening:
    """A night's truth and what was typed of it."""

    setup: Setup
    typed: list[Typed]


def an_evening(
    night: date,
    mount_name: str,
    rng: np.random.Generator,
    *,
    polar: tuple[float, float],
    hours_wrong: float = 0.0,
) -> Evening:
    """A set-up of that mount: its true axis, and by how many hours its controller believes the sky turned."""
    mount = next(mount for mount in MOUNTS if mount.name == mount_name)
    dark = dark_hours(night, NORTHERN_SITE)
    assert dark is not None
    era = era_on(mount_name, DAYS - 1)
    home = rng.normal(0.0, CAREFUL.home_sd_arcmin, 2)
    truth = SetupTruth(
        SetupKey(night, NORTHERN_SITE.name, mount_name, 1), CAREFUL.name, era.tube, polar[0], polar[1],
        home[0], home[1], era.cone_arcmin, era.squareness_arcmin, era.sag_arcmin,
        scatter_on(era, DAYS - 1), None, hours_wrong,
    )  # fmt: skip
    start = dark[0] + timedelta(minutes=int(rng.integers(0, 60)))
    setup = Setup(truth, NORTHERN_SITE, mount, CAREFUL, start, min(start + timedelta(hours=3), dark[1]))
    visits = visits_of(0, setup, rng)
    landed = landings([setup], visits, rng)
    readings = [
        reading_of(setup, visit, float(east), float(north), rng)
        for visit, east, north in zip(
            visits, landed.offset_east_arcmin, landed.offset_north_arcmin, strict=True
        )
    ]
    return Evening(
        setup,
        [
            Typed(visit, round(2 * one.east_arcmin) / 2, round(2 * one.north_arcmin) / 2)
            for visit, one in zip(visits, readings, strict=True)
        ],
    )


def set_up(database: Database, evening: Evening) -> SetupChoice:
    """Begin the evening's night and set-up."""
    truth, start = evening.setup.truth, evening.setup.start_utc - timedelta(minutes=10)
    start_night(database, truth.key.site, start, present=[truth.observer])
    start_setup(database, truth.key.mount, start, tube=truth.tube, observer=truth.observer)
    return SetupChoice(mount=truth.key.mount)


def pack_up(database: Database, evening: Evening) -> None:
    end_night(database, NightChoice(), evening.typed[-1].visit.utc + timedelta(minutes=5))


def type_in(database: Database, typed: Typed, choice: SetupChoice, german: bool) -> None:
    """One arrival, as a careful observer types it."""
    visit = typed.visit
    star = visit.kind == "star"
    record_arrival(
        database,
        Role(visit.role),
        ArrivalEntry(
            target=visit.name,
            where=WrittenOffset(
                east=typed.east_arcmin, east_unit="'", north=typed.north_arcmin, north_unit="'", rate=None
            ),
            pier_side=(PierSide.WEST if visit.tube_west else PierSide.EAST) if german else None,
            ra_hours=None if star else round(visit.ra_hours, 4),
            dec_deg=None if star else round(visit.dec_deg, 3),
        ),
        choice,
        visit.utc,
        sure=True,
    )


def said_of(database: Database, evening: Evening, most: int = 99) -> list[tuple[int, datetime, LiveAnswer]]:
    """What is said anew after each arrival of an evening: after how many arrivals, and the answer."""
    choice, memory = set_up(database, evening), LiveMemory()
    given: list[LiveAnswer] = []
    told = []
    for count, typed in enumerate(evening.typed[:most], start=1):
        if not np.isfinite(typed.east_arcmin + typed.north_arcmin):
            continue
        type_in(database, typed, choice, evening.setup.mount.mount_type == "german")
        new = what_is_new(given, answers_now(database, choice, typed.visit.utc, memory=memory))
        given += new
        told += [(count, typed.visit.utc, answer) for answer in new]
    pack_up(database, evening)
    return told
