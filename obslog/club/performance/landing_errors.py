"""The landing errors of set-ups on record: how far from the centre objects stood after the last sync."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.performance.arrival_rows import ArrivalRow, arrival_rows, setup_id
from obslog.records.tables.logbook_tables import SkyReading
from obslog.trends.landings.intervals_from_words import says_centred, word_distances_arcmin
from obslog.trends.landings.landing_scale import LandingErrors, landing_errors
from obslog.values import SetupId
from obslog.vocabulary import Role, SkyScale

DAYS_PER_YEAR = 365.25
Floats = NDArray[np.float64]
Temperatures = dict[UUID, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Landings:
    """Set-ups (s,) in order of mount and time with their landing errors; nan where nothing was measured or said.

    `mounts` are the keys of their mounts, `observers` who set them up. `measured` counts arrivals with offsets, `told`
    those with only a word; `rms_arcmin` and `median_arcmin` are of the measured ones. `temperature_c` is the mean of
    the night's readings.
    """

    setups: list[SetupId]
    mounts: list[UUID]
    observers: list[str | None]
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
    """The landings of one mount, or of all mounts; of those nights alone, first and last, where they are given."""
    return landings_of(arrival_rows(session, mount_id, nights), mean_temperatures(session))


def landings_of(arrivals: Sequence[ArrivalRow], temperatures: Temperatures) -> Landings:
    """The landings of the set-ups of these arrivals, which are in order of mount and time.

    Only arrivals after the last sync of their set-up count: a sync moves the sky, and without one nothing is aligned.
    """
    setups = [list(rows) for _, rows in groupby(arrivals, key=lambda row: row.setup_id)]
    groups = [_after_last_sync(rows) for rows in setups]
    first = [rows[0] for rows in setups]
    number = np.array([place for place, rows in enumerate(groups) for _ in rows], dtype=np.intp)
    radius, nearest, farthest = _distances([row for rows in groups for row in rows])
    measured = np.isfinite(radius)
    count = np.bincount(number[measured], minlength=len(setups))
    with np.errstate(invalid="ignore", divide="ignore"):
        rms = np.sqrt(np.bincount(number[measured], radius[measured] ** 2, len(setups)) / count)
    return Landings(
        setups=[setup_id(row) for row in first],
        mounts=[row.mount_id for row in first],
        observers=[row.observer for row in first],
        errors=landing_errors(number, nearest, farthest, len(setups)),
        measured=count,
        told=np.bincount(number[~measured & np.isfinite(nearest)], minlength=len(setups)),
        rms_arcmin=rms,
        median_arcmin=_medians(number[measured], radius[measured], len(setups)),
        temperature_c=np.array([temperatures.get(row.night_id, np.nan) for row in first], float),
    )


def mean_temperatures(session: Session) -> Temperatures:
    """The mean of each night's readings, in degrees Celsius; a night without one is not there."""
    query = (
        select(SkyReading.night_id, func.avg(SkyReading.value))
        .where(SkyReading.scale == SkyScale.TEMPERATURE_C)
        .group_by(SkyReading.night_id)
    )
    return {night: float(value) for night, value in session.execute(query)}


def _after_last_sync(rows: list[ArrivalRow]) -> list[ArrivalRow]:
    last = max((place for place, row in enumerate(rows) if row.role == Role.SYNC), default=len(rows))
    return rows[last + 1 :]


def _distances(rows: Sequence[ArrivalRow]) -> tuple[Floats, Floats, Floats]:
    """Measured distances (nan where there is none), and the nearest and farthest that offsets or words allow."""
    east, north, fields = (
        np.array([getattr(row, name) for row in rows], float)
        for name in ("offset_east_arcmin", "offset_north_arcmin", "field_arcmin")
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
