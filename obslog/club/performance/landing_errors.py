"""The landing errors of set-ups on record: how far from the centre objects stood after the last sync."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Any, cast
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Row, func, select
from sqlalchemy.orm import Session

from obslog.records.tables.logbook_tables import Arrival, Equipment, Member, Night, Setup, Site, SkyReading
from obslog.trends.landings.intervals_from_words import says_centred, word_distances_arcmin
from obslog.trends.landings.landing_scale import LandingErrors, landing_errors
from obslog.vocabulary import Role, SkyScale

DAYS_PER_YEAR = 365.25
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SetupName:
    """A set-up, and whose it was."""

    night: date
    setup: int
    site: str
    mount: str
    observer: str | None


@dataclass(frozen=True, slots=True)
class Landings:
    """Set-ups (s,) in order of mount and time with their landing errors; nan where nothing was measured or said.

    `measured` counts arrivals with offsets, `told` those with only a word; `rms_arcmin` and `median_arcmin` are of the
    measured ones. `temperature_c` is the mean of the night's readings.
    """

    setups: list[SetupName]
    errors: LandingErrors
    measured: NDArray[np.intp]
    told: NDArray[np.intp]
    rms_arcmin: Floats
    median_arcmin: Floats
    temperature_c: Floats

    @property
    def years(self) -> Floats:
        return np.array([setup.night.toordinal() / DAYS_PER_YEAR for setup in self.setups])

    @property
    def log_error(self) -> Floats:
        """The natural logarithm of the half-landing radius."""
        with np.errstate(divide="ignore"):
            return np.log(self.errors.half_arcmin)


def load_landings(
    session: Session, mount_id: UUID | None = None, nights: tuple[date, date] | None = None
) -> Landings:
    """The landings of one mount, or of all mounts; of those nights alone, first and last, where they are given.

    Only arrivals after the last sync of their set-up count: a sync moves the sky, and without one nothing is aligned.
    """
    groups = [
        (key, _after_last_sync(list(rows)))
        for key, rows in groupby(_rows(session, mount_id, nights), key=_setup_of)
    ]
    names = [SetupName(*key[1:]) for key, _ in groups]
    number = np.array([place for place, (_, rows) in enumerate(groups) for _ in rows], dtype=np.intp)
    rows = [row for _, after in groups for row in after]
    radius, nearest, farthest = _distances(rows)
    measured = np.isfinite(radius)
    count = np.bincount(number[measured], minlength=len(names))
    with np.errstate(invalid="ignore", divide="ignore"):
        rms = np.sqrt(np.bincount(number[measured], radius[measured] ** 2, len(names)) / count)
    return Landings(
        names,
        landing_errors(number, nearest, farthest, len(names)),
        count,
        np.bincount(number[~measured & np.isfinite(nearest)], minlength=len(names)),
        rms,
        _medians(number[measured], radius[measured], len(names)),
        _temperatures(session, [key[0] for key, _ in groups]),
    )


def _rows(session: Session, mount_id: UUID | None, nights: tuple[date, date] | None) -> Sequence[Row[Any]]:
    query = (
        select(
            Setup.night_id, Night.night_of, Setup.ordinal, Site.name.label("site"), Equipment.name.label("mount"),
            Member.name.label("observer"), Arrival.role, Arrival.offset_east_arcmin.label("east"),
            Arrival.offset_north_arcmin.label("north"), Arrival.landing, Arrival.field_arcmin,
        )
        .join(Setup, Arrival.setup_id == Setup.id)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .join(Equipment, Setup.mount_id == Equipment.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .order_by(Equipment.name_key, Night.night_of, Site.name_key, Setup.ordinal, Arrival.at_utc, Arrival.id)
    )  # fmt: skip
    if mount_id is not None:
        query = query.where(Setup.mount_id == mount_id)
    if nights is not None:
        query = query.where(Night.night_of.between(*nights))
    return cast(Sequence[Row[Any]], session.execute(query).all())


def _setup_of(row: Row[Any]) -> tuple[UUID, date, int, str, str, str | None]:
    return row.night_id, row.night_of, row.ordinal, row.site, row.mount, row.observer


def _after_last_sync(rows: list[Row[Any]]) -> list[Row[Any]]:
    last = max((place for place, row in enumerate(rows) if row.role == Role.SYNC), default=len(rows))
    return rows[last + 1 :]


def _distances(rows: Sequence[Row[Any]]) -> tuple[Floats, Floats, Floats]:
    """Measured distances (nan where there is none), and the nearest and farthest that offsets or words allow."""
    east, north, fields = (
        np.array([getattr(row, name) for row in rows], float) for name in ("east", "north", "field_arcmin")
    )
    radius = np.hypot(east, north)
    words = [None if np.isfinite(r) else row.landing for r, row in zip(radius, rows, strict=True)]
    said = says_centred([row.observer for row in rows], [row.landing for row in rows])
    nearest, farthest = word_distances_arcmin(words, fields, centred_is_said=said)
    measured = np.isfinite(radius)
    return radius, np.where(measured, radius, nearest), np.where(measured, radius, farthest)


def _medians(number: NDArray[np.intp], radius: Floats, setups: int) -> Floats:
    medians = np.full(setups, np.nan)
    if not radius.size:
        return medians
    order = np.lexsort((radius, number))
    places, starts = np.unique(number[order], return_index=True)
    for place, values in zip(places, np.split(radius[order], starts[1:]), strict=True):
        medians[place] = np.median(values)
    return medians


def _temperatures(session: Session, nights: list[UUID]) -> Floats:
    query = (
        select(SkyReading.night_id, func.avg(SkyReading.value))
        .where(SkyReading.scale == SkyScale.TEMPERATURE_C)
        .group_by(SkyReading.night_id)
    )
    mean = {night: float(value) for night, value in session.execute(query)}
    return np.array([mean.get(night, np.nan) for night in nights], float)
