"""How each set-up began: first stars not found or far out, and alignments given up; kept for each mount."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np

from obslog.club.performance.arrival_columns import ArrivalColumns
from obslog.club.performance.snapshot import Snapshot
from obslog.pointing.mistakes.posterior import FIRST_STAR_FAR_ARCMIN
from obslog.records.kept_results import Result
from obslog.sky.places.instants import exact_datetime
from obslog.vocabulary.arrivals import Landing

FIRST_STARS = "first stars"
GIVEN_UP_ARRIVALS = 2
"""A set-up with no more arrivals than that, followed by another the same night, was given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstStar:
    """The first arrival of a set-up, before any sync: lost, or so far out. None where nothing was measured."""

    setup: UUID
    star: str
    at_utc: datetime
    east_arcmin: float | None
    north_arcmin: float | None


@dataclass(frozen=True, slots=True)
class Beginnings:
    """The first stars of a mount that were lost or far out, and its set-ups with hardly any arrivals."""

    amiss: list[FirstStar]
    short: list[UUID]


def beginnings(snapshot: Snapshot) -> list[Beginnings]:
    """How the set-ups of each mount began."""
    snapshot.kept.read_ahead(FIRST_STARS)
    return [beginnings_of_mount(snapshot, mount) for mount in snapshot.mounts]


def beginnings_of_mount(snapshot: Snapshot, mount: UUID) -> Beginnings:
    """How the set-ups of one mount began."""
    return snapshot.kept.get(
        Result.of_mount(FIRST_STARS, mount),
        [mount],
        Beginnings,
        lambda: beginnings_of(snapshot.arrivals(mount)),
    )


def beginnings_of(arrivals: ArrivalColumns) -> Beginnings:
    """How the set-ups of these arrivals began."""
    _, first = np.unique(arrivals.setup, return_index=True)
    count = np.bincount(arrivals.setup, minlength=len(arrivals.setups))
    short = [arrivals.setups[place].id for place in np.flatnonzero(count <= GIVEN_UP_ARRIVALS).tolist()]
    away = np.hypot(arrivals.offset_east_arcmin[first], arrivals.offset_north_arcmin[first])
    lost = np.isnan(away) & np.array([arrivals.landing[place] == Landing.LOST for place in first], bool)
    return Beginnings(
        [_first_star(arrivals, place) for place in first[lost | (away > FIRST_STAR_FAR_ARCMIN)].tolist()],
        short,
    )


def _first_star(arrivals: ArrivalColumns, place: int) -> FirstStar:
    east, north = (
        None if np.isnan(value) else float(value)
        for value in (arrivals.offset_east_arcmin[place], arrivals.offset_north_arcmin[place])
    )
    return FirstStar(
        setup=arrivals.setups[int(arrivals.setup[place])].id,
        star=arrivals.target[place],
        at_utc=exact_datetime(arrivals.at_utc[place]),
        east_arcmin=east,
        north_arcmin=north,
    )
