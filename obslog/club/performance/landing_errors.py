"""The landing errors of set-ups on record: how far from the centre objects stood after the last sync."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.performance.arrival_columns import ArrivalColumns, arrival_columns, setup_id
from obslog.records.tables.logbook_tables import SkyReading
from obslog.trends.landings.few_arrivals import unbiased_logs
from obslog.trends.landings.intervals_from_words import says_centred, word_distances_arcmin
from obslog.trends.landings.landing_scale import LandingErrors, landing_errors
from obslog.trends.series.geometric_mean import geometric_mean
from obslog.values import Interval, SetupId
from obslog.vocabulary.arrivals import Landing as Word
from obslog.vocabulary.sky_scales import SkyScale

DAYS_PER_YEAR = 365.25
Floats = NDArray[np.float64]
Temperatures = dict[UUID, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Landings:
    """Set-ups (s,) in order of mount and time with their landing errors; nan where nothing was measured or said.

    `mounts` and `tubes` are the keys of their mounts and tubes, `observers` who set them up. `measured` counts arrivals
    with offsets, `told` those with only a word; `rms_arcmin` and `median_arcmin` are of the measured ones.
    `temperature_c` is the mean of the night's readings. `say_centred` and `say_in` are the observers who used these
    words; None is one not on record.
    """

    setups: list[SetupId]
    mounts: list[UUID]
    tubes: list[UUID | None]
    observers: list[str | None]
    errors: LandingErrors
    measured: NDArray[np.intp]
    told: NDArray[np.intp]
    rms_arcmin: Floats
    median_arcmin: Floats
    temperature_c: Floats
    say_centred: list[str | None]
    say_in: list[str | None]

    @property
    def years(self) -> Floats:
        return np.array([setup.night.toordinal() / DAYS_PER_YEAR for setup in self.setups])

    @property
    def log_error(self) -> Floats:
        """The natural logarithm of the half-landing radius."""
        with np.errstate(divide="ignore"):
            return np.log(self.errors.half_arcmin)

    @property
    def unbiased_logs(self) -> tuple[Floats, Floats]:
        """The same without the bias of few arrivals, to compare set-ups of few and of many, and their sd."""
        return unbiased_logs(self.errors)

    def mean_half_arcmin(self, those: Sequence[int] | NDArray[np.bool_]) -> Interval | None:
        """The geometric mean of the half-landing radii of those set-ups, by place; None where nothing is known."""
        return geometric_mean(self.log_error[those], self.errors.log_sd[those])


def load_landings(
    session: Session, mount_id: UUID | None = None, nights: tuple[date, date] | None = None
) -> Landings:
    """The landings of one mount, or of all mounts; of those nights alone, first and last, where they are given."""
    return landings_of(arrival_columns(session, mount_id, nights), mean_temperatures(session))


def landings_of(
    arrivals: ArrivalColumns, temperatures: Temperatures, say_centred: Collection[str | None] = ()
) -> Landings:
    """The landings of the set-ups that have any of these arrivals.

    Only arrivals after the last sync of their set-up count: a sync moves the sky, and without one nothing is aligned.
    `say_centred` are observers known from elsewhere to say "centred" when it was.
    """
    there, setup = np.unique(arrivals.setup, return_inverse=True)
    rows = [arrivals.setups[place] for place in there]
    after = after_last_sync(setup, arrivals.is_sync, len(rows))
    judged, number = arrivals.where(after), setup[after]
    radius, nearest, farthest = _distances(judged, say_centred)
    measured = np.isfinite(radius)
    count = np.bincount(number[measured], minlength=len(rows))
    with np.errstate(invalid="ignore", divide="ignore"):
        rms = np.sqrt(np.bincount(number[measured], radius[measured] ** 2, len(rows)) / count)
    return Landings(
        setups=[setup_id(row) for row in rows],
        mounts=[row.mount_id for row in rows],
        tubes=[row.tube_id for row in rows],
        observers=[row.observer for row in rows],
        errors=landing_errors(number, nearest, farthest, len(rows)),
        measured=count,
        told=np.bincount(number[~measured & np.isfinite(nearest)], minlength=len(rows)),
        rms_arcmin=rms,
        median_arcmin=_medians(number[measured], radius[measured], len(rows)),
        temperature_c=np.array([temperatures.get(row.night_id, np.nan) for row in rows], float),
        say_centred=_who_says(Word.CENTRED, judged),
        say_in=_who_says(Word.IN, judged),
    )


def together(landings: Sequence[Landings]) -> Landings:
    """The landings of several mounts as those of one club, in their order."""
    parts = [NO_LANDINGS, *landings]
    errors = LandingErrors(**_joined([part.errors for part in parts]))
    return Landings(**_joined(parts, but="errors"), errors=errors)


def _joined(parts: Sequence[Any], but: str = "") -> dict[str, Any]:
    """The fields of several records of one kind, arrays and lists, each joined to one."""
    joined: dict[str, Any] = {}
    for name in (field.name for field in fields(parts[0]) if field.name != but):
        values = [getattr(part, name) for part in parts]
        is_array = isinstance(values[0], np.ndarray)
        joined[name] = np.concatenate(values) if is_array else [one for value in values for one in value]
    return joined


_NONE, _NO_COUNTS = np.array([], float), np.array([], np.intp)
NO_LANDINGS = Landings(
    setups=[],
    mounts=[],
    tubes=[],
    observers=[],
    errors=LandingErrors(
        count=_NO_COUNTS, half_arcmin=_NONE, low_arcmin=_NONE, high_arcmin=_NONE, log_sd=_NONE
    ),
    measured=_NO_COUNTS,
    told=_NO_COUNTS,
    rms_arcmin=_NONE,
    median_arcmin=_NONE,
    temperature_c=_NONE,
    say_centred=[],
    say_in=[],
)


def mean_temperatures(session: Session) -> Temperatures:
    """The mean of each night's readings, in degrees Celsius; a night without one is not there."""
    query = (
        select(SkyReading.night_id, func.avg(SkyReading.value))
        .where(SkyReading.scale == SkyScale.TEMPERATURE_C)
        .group_by(SkyReading.night_id)
    )
    return {night: float(value) for night, value in session.execute(query)}


def after_last_sync(setup: NDArray[np.int64], is_sync: NDArray[np.bool_], setups: int) -> NDArray[np.bool_]:
    """Which arrivals (n,), in order of set-up and time, came after the last sync of theirs; none where it had none."""
    place = np.arange(setup.size)
    last_sync = np.full(setups, setup.size)
    last_sync[setup[is_sync]] = place[is_sync]  # of several the last one stays
    return np.asarray(place > last_sync[setup])


def _distances(
    arrivals: ArrivalColumns, say_centred: Collection[str | None]
) -> tuple[Floats, Floats, Floats]:
    """Measured distances (nan where there is none), and the nearest and farthest that offsets or words allow."""
    radius = np.hypot(arrivals.offset_east_arcmin, arrivals.offset_north_arcmin)
    measured = np.isfinite(radius)
    words = [None if known else word for known, word in zip(measured.tolist(), arrivals.landing, strict=True)]
    observers = arrivals.of_setup("observer")
    said = says_centred(observers, arrivals.landing) | np.array(
        [who in say_centred for who in observers], bool
    )
    nearest, farthest = word_distances_arcmin(words, arrivals.field_arcmin, centred_is_said=said)
    return radius, np.where(measured, radius, nearest), np.where(measured, radius, farthest)


def _who_says(word: Word, arrivals: ArrivalColumns) -> list[str | None]:
    observers = arrivals.of_setup("observer")
    said = {who for who, landed in zip(observers, arrivals.landing, strict=True) if landed == word}
    return sorted(said, key=str)


def _medians(number: NDArray[np.intp], radius: Floats, setups: int) -> Floats:
    medians = np.full(setups, np.nan)
    if not radius.size:
        return medians
    order = np.lexsort((radius, number))
    places, starts = np.unique(number[order], return_index=True)
    for place, values in zip(places, np.split(radius[order], starts[1:]), strict=True):
        medians[place] = np.median(values)
    return medians
