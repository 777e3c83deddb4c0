"""Instants between datetime, which people and tables have, and datetime64, which arrays have; both in UTC."""

from collections.abc import Iterable
from datetime import UTC, datetime

import numpy as np

from obslog.errors import WrongInput


class TimeWithoutZone(WrongInput):
    """A time that does not say which zone it is in."""

    def __init__(self, when: datetime) -> None:
        super().__init__(f"The time {when.isoformat()} has no zone.", "Give it in UTC, with a Z at its end.")


def naive_utc(when: datetime) -> datetime:
    if when.tzinfo is None:
        raise TimeWithoutZone(when)
    return when.astimezone(UTC).replace(tzinfo=None)


def as_datetime64(when: datetime) -> np.datetime64:
    """The instant in microseconds of UTC. Raises TimeWithoutZone."""
    return np.datetime64(naive_utc(when), "us")


def exact_datetime(instant: np.datetime64) -> datetime:
    """The instant as it is, to the microsecond."""
    exact: datetime = instant.astype("datetime64[us]").astype(datetime)
    return exact.replace(tzinfo=UTC)


def as_datetime(instant: np.datetime64) -> datetime:
    """The instant to the nearest second: nothing computed here is better than that."""
    whole: datetime = (instant + np.timedelta64(500, "ms")).astype("datetime64[s]").astype(datetime)
    return whole.replace(tzinfo=UTC)


def as_datetime_or_none(instant: np.datetime64 | None) -> datetime | None:
    """The instant to the nearest second; None where there is none or it is not a time."""
    return None if instant is None or np.isnat(instant) else as_datetime(instant)


def as_datetimes(instants: Iterable[np.datetime64]) -> list[datetime]:
    """Each instant to the nearest second."""
    return [as_datetime(instant) for instant in instants]
