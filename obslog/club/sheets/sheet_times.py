"""The dates and times on a sheet: read once for each spelling, and held against the night they stand in."""

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache

from obslog.errors import ObslogError
from obslog.exchange.arrivals_rows import Fault, SheetRow
from obslog.grammar.typed_times import ClockChanged, OutsideNight, local_instant_utc, read_date
from obslog.times import YEAR, FutureTime, night_bounds_utc, not_in_future, zone_named

# Local noon lies within these hours of noon UTC in every zone: all that can be asked where the zone is unknown.
_EARLIEST, _LATEST = timedelta(hours=-14), timedelta(hours=12)


class SheetClock:
    """Reads the times of a sheet as of `now`, remembering what it has read."""

    def __init__(self, now: datetime) -> None:
        self._now = now
        self.date_of = lru_cache(maxsize=None)(_date_of)
        self._bounds = lru_cache(maxsize=None)(_bounds)
        self._local = lru_cache(maxsize=4096)(_local_instant)

    def instant_of(
        self, row: SheetRow, night: date, zone: str | None, faults: list[Fault]
    ) -> datetime | None:
        """The instant of a row; None, with a fault noted, where it has none or one outside its night."""
        column = "utc" if "utc" in row else "local"
        try:
            instant = self._instant(row, night, zone)
            start, end = self._bounds(night, zone)
            if not start <= instant < end:
                raise OutsideNight(instant, night)
            if instant > self._now:
                not_in_future(instant, self._now)
        except (FutureTime, OutsideNight) as error:
            faults.append(Fault(row["line"], column, error.message))
        except ClockChanged as error:
            faults.append(Fault(row["line"], column, f"{error.message} Give utc: {error.in_full}."))
        except ObslogError as error:
            faults.append(Fault(row["line"], column, f"{error.message} {error.hint}"))
        except ValueError as error:
            faults.append(Fault(row["line"], column, str(error)))
        else:
            return instant
        return None

    def _instant(self, row: SheetRow, night: date, zone: str | None) -> datetime:
        if "utc" in row:
            if "local" in row:
                raise ValueError("give utc or local, not both.")
            return _utc_instant(row["utc"])
        if "local" not in row:
            raise ValueError("the time is missing: give utc, or local.")
        if zone is None:
            raise ValueError("the site's time zone is not known, so a local time means nothing; give utc.")
        return self._local(row["local"], night, zone)


def _date_of(text: str) -> date | None:
    try:
        return read_date(text)
    except ObslogError:
        return None


def _utc_instant(text: str) -> datetime:
    try:
        instant = datetime.fromisoformat(text)
    except ValueError as error:
        raise ValueError(f"{text} is not a time of the calendar and the clock.") from error
    if not YEAR.holds(instant.year):  # nor can every year be turned to UTC
        raise ValueError(f"{text} is not between the years {YEAR.low} and {YEAR.high}.")
    return instant if instant.tzinfo is UTC else instant.astimezone(UTC)


def _bounds(night: date, zone: str | None) -> tuple[datetime, datetime]:
    if zone is not None:
        return night_bounds_utc(night, zone_named(zone))
    noon = datetime.combine(night, time(12), UTC)
    return noon + _EARLIEST, noon + timedelta(days=1) + _LATEST


def _local_instant(text: str, night: date, zone: str) -> datetime:
    try:
        wall = time.fromisoformat(text)
    except ValueError as error:
        raise ValueError(f"{text} is not a time of the clock.") from error
    return local_instant_utc(wall, night, zone_named(zone))
