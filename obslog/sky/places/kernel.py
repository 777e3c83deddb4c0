"""The planetary ephemeris (JPL DE421) and the time scale, opened once; UTC in, Skyfield times out."""

import atexit
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import skyfield_data
from numpy.typing import NDArray
from skyfield.api import load, load_file
from skyfield.errors import EphemerisRangeError
from skyfield.nutationlib import iau2000b_radians

from obslog.errors import WrongInput
from obslog.sky.places.instants import naive_utc

FIRST_DAY, LAST_DAY = "1900-01-01", "2053-09-05"
"""Between these every answer is known, also those that look a month ahead for the Moon's next phases; the ephemeris
itself reaches from 1899-07-29 to 2053-10-08."""

LAST_NOON = np.datetime64("2053-10-07T00:00", "us")
"""The last from which a whole day follows in the ephemeris."""

When = datetime | np.datetime64 | Sequence[datetime] | NDArray[np.datetime64]
"""Instants: a datetime with a zone, several of them, or numpy's datetime64 in UTC."""

Instants = NDArray[np.datetime64]
Array = NDArray[np.float64]

_DAY_US = 86_400_000_000
_FIRST_LEAP_SECOND_DAY = 730
"""1972-01-01, in days from 1970-01-01: from there on civil time is UTC in whole seconds of atomic time."""
_JD_1970 = 2440587.5


class DateOutsideEphemeris(WrongInput):
    """A date for which the ephemeris says nothing."""

    def __init__(self) -> None:
        super().__init__(
            "Places in the sky are not known for that date.", f"Give a date from {FIRST_DAY} to {LAST_DAY}."
        )


@cache
def kernel() -> Any:
    """The ephemeris, opened on first use and closed when the program ends."""
    opened = load_file(Path(skyfield_data.__file__).parent / "data" / "de421.bsp")
    atexit.register(opened.close)
    return opened


@cache
def timescale() -> Any:
    """The time scale that ships with Skyfield: no download, UT1 predicted past its last entry."""
    return load.timescale(builtin=True)


def utc_array(when_utc: When) -> Instants:
    """The instants as datetime64 in microseconds of UTC, of the shape given (none for a single instant).

    Raises: TimeWithoutZone for a datetime without a zone.
    """
    if isinstance(when_utc, np.ndarray | np.datetime64):
        return np.asarray(when_utc).astype("datetime64[us]")
    if isinstance(when_utc, datetime):
        return np.asarray(naive_utc(when_utc), "datetime64[us]")
    return np.array([naive_utc(when) for when in when_utc], "datetime64[us]")


def skyfield_time(when_utc: When) -> Any:
    """The instants as one Skyfield time, always with one axis, with the short series of the nutation.

    Before 1972 civil time followed the turning Earth, so an instant there is taken as UT1.

    Source: IAU 2000B nutation. Neglects: its difference from IAU 2000A, 0.003" between 1950 and 2050; before 1972
    what civil time and UT1 differed by, 0.1 s as a rule.
    """
    return _with_short_nutation(time_of_utc(when_utc))


def times_of_tt(julian_days: Array) -> Any:
    """Instants by their Julian days of terrestrial time, which knows no leap seconds, as `skyfield_time` gives them."""
    return _with_short_nutation(timescale().tt_jd(julian_days))


def time_of_utc(when_utc: When) -> Any:
    """As `skyfield_time`, but without the nutation, which is most of the work: for the Earth's turning alone."""
    microseconds = utc_array(when_utc).reshape(-1).astype(np.int64)
    days, rest = np.divmod(microseconds, _DAY_US)
    time = timescale().utc(1970, 1, 1 + days, 0, 0, rest / 1e6)
    if np.any(early := days < _FIRST_LEAP_SECOND_DAY):
        turning = timescale().ut1_jd(_JD_1970 + days + rest / _DAY_US)
        time = timescale().tt_jd(np.where(early, turning.tt, time.tt))
    return time


def _with_short_nutation(time: Any) -> Any:
    time._nutation_angles_radians = iau2000b_radians(time)  # twenty times faster than the long series
    return time


@contextmanager
def dates_checked() -> Iterator[None]:
    """Turns the ephemeris' own complaint about a date into ours.

    Raises: DateOutsideEphemeris.
    """
    try:
        yield
    except EphemerisRangeError as error:
        raise DateOutsideEphemeris from error
