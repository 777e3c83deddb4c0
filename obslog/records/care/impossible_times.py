"""Times that cannot be: arrivals outside of their night, what is still to come, parts back before they went out.

Also where a clock jumped.
"""

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any

from sqlalchemy import Connection, String, cast, func, select, text

from obslog.english import counted
from obslog.errors import UnknownZone
from obslog.records.care.finding import Finding
from obslog.records.care.impossible_values import readable
from obslog.records.tables.column_types import LocalDate, UtcTime
from obslog.records.tables.schema import metadata
from obslog.times import EARLIEST_ZONE, night_bounds_utc, zone_named

A_DAY = timedelta(days=1)
_SHOWN = "%Y-%m-%d %H:%M"
_WESTERNMOST = timedelta(hours=12)
_KEPT_RESULTS = "kept_results"
# Days on which something was done. Others, such as the day on which a loan is due, may well be to come.
_DONE_ON = {
    "nights": ("night_of",),
    "loans": ("out_on", "back_on"),
    "loan_parts": ("back_on", "fault_on"),
    "kit_parts": ("joined_on", "left_on"),
    "renewals": ("renewed_on",),
    "absences": ("since", "found_on"),
    "services": ("done_on",),
    "battery_tests": ("tested_on",),
    "photographs": ("taken_on",),
    "stocktakes": ("started_on", "finished_on"),
    "reminders": ("made_on",),
}


def impossible_times(connection: Connection, now: datetime) -> list[Finding]:
    """What of the records' times cannot be; all of it is worth knowing, and none of it is changed by anybody else."""
    return [
        *_outside_their_night(connection),
        *_still_to_come(connection, now),
        *_parts_back_too_early(connection),
        *_jumped(connection),
    ]


_IN_NIGHTS = {
    "arrival": (
        "arrivals AS entry JOIN setups ON setups.id = entry.setup_id JOIN nights ON nights.id = setups.night_id "
        "JOIN sites ON sites.id = nights.site_id"
    ),
    "observation": (
        "observations AS entry JOIN nights ON nights.id = entry.night_id JOIN sites ON sites.id = nights.site_id"
    ),
}


def _outside_their_night(connection: Connection) -> Iterator[Finding]:
    for kind, tables in _IN_NIGHTS.items():
        columns = "entry.at_utc, entry.target, nights.night_of, sites.name, sites.zone"
        rows = connection.execute(
            text(
                f"SELECT {columns} FROM {tables} "
                f"WHERE {_readable(connection, 'entry.at_utc', 'nights.night_of')} ORDER BY entry.at_utc"
            )
        )
        found = [row for row in rows if _is_outside(row)]
        if found:
            at, target, night, site, _ = found[0]
            lies = "lies outside of its night" if len(found) == 1 else "lie outside of their night"
            yield Finding(
                subject="times",
                what=f"{counted(len(found), kind)} {lies}.",
                count=len(found),
                example=f"{target}, {at}, of the night of {night} at {site}",
                advice="The clock was wrong, or the site has another time zone now: correct the times or the zone.",
                grave=False,
            )


def _is_outside(row: Sequence[Any]) -> bool:
    at, _, night, _, zone = row
    instant, evening = _instant(at), _day(night)
    if instant is None or evening is None:
        return False
    begins, ends = _bounds(evening, zone)
    return not begins <= instant < ends


def _bounds(night: date, zone: str | None) -> tuple[datetime, datetime]:
    """The noons of a night; where the zone is not known, those of the earliest and the latest there is."""
    if zone:
        try:
            return night_bounds_utc(night, zone_named(zone))
        except UnknownZone:
            pass
    noon = datetime(night.year, night.month, night.day, 12, tzinfo=UTC)
    return noon - EARLIEST_ZONE, noon + A_DAY + _WESTERNMOST


def _still_to_come(connection: Connection, now: datetime) -> Iterator[Finding]:
    for table in metadata.sorted_tables:
        if table.name == _KEPT_RESULTS:
            continue
        for column in table.columns:
            if isinstance(column.type, UtcTime):
                limit: Any = now + A_DAY
            elif isinstance(column.type, LocalDate) and column.name in _DONE_ON.get(table.name, ()):
                limit = (now + A_DAY).date()
            else:
                continue
            query = select(func.count(), cast(func.max(column), String)).where(
                column > limit, text(_readable(connection, column.name))
            )
            count, latest = connection.execute(query).one()
            if count:
                yield Finding(
                    subject="times",
                    what=f"{counted(count, 'row')} of {table.name.replace('_', ' ')} with {column.name} still to come.",
                    count=count,
                    example=f"the latest {latest}",
                    advice="A computer's clock was wrong then, or is wrong now: correct it, and the records.",
                    grave=False,
                )


def _parts_back_too_early(connection: Connection) -> Iterator[Finding]:
    query = (
        "SELECT loan_parts.label, loan_parts.back_on, loans.out_on FROM loan_parts "
        "JOIN loans ON loans.id = loan_parts.loan_id WHERE loan_parts.back_on < loans.out_on "
        f"AND {_readable(connection, 'loan_parts.back_on', 'loans.out_on')} ORDER BY loan_parts.id"
    )
    found = connection.execute(text(query)).all()
    if found:
        yield Finding(
            subject="times",
            what=f"{counted(len(found), 'part')} of loans came back before the loan went out.",
            count=len(found),
            example=f"{found[0][0]}: back on {found[0][1]}, out on {found[0][2]}",
            advice="A day was mistyped. Nothing is computed from it; a note of the loan can say so.",
            grave=False,
        )


def _jumped(connection: Connection) -> Iterator[Finding]:
    """Acts that by their keys came after others and by their times more than a day before them.

    Keys are in the order of recording whatever the clock says (`keys.key_after`), so this is a clock that was set back,
    or one that was ahead before.
    """
    query = f"SELECT id, at_utc, sentence FROM acts WHERE {_readable(connection, 'at_utc')} ORDER BY id"
    before: datetime | None = None
    found = []
    for _, at, sentence in connection.execute(text(query)):
        instant = _instant(at)
        if instant is not None and before is not None and instant < before - A_DAY:
            found.append(
                f"{sentence}, at {instant:%Y-%m-%d %H:%M} UTC, was recorded after one at {before:%Y-%m-%d %H:%M}"
            )
        before = instant or before
    if found:
        yield Finding(
            subject="times",
            what=f"The clock jumped back by more than a day {counted(len(found), 'time')} between two acts.",
            count=len(found),
            example=found[0],
            advice="Look at the days and times noted around it. An empty battery of a computer sets its clock back.",
            grave=False,
        )


def _readable(connection: Connection, *columns: str) -> str:
    """The condition that all of the columns can be read; those that cannot are told of with the values."""
    return " AND ".join(readable(column, connection.dialect.name) for column in columns)


def _instant(value: Any) -> datetime | None:
    try:
        found = datetime.fromisoformat(value) if isinstance(value, str) else value
        return found.astimezone(UTC) if found.tzinfo else None
    except (ValueError, AttributeError, OverflowError):
        return None


def _day(value: Any) -> date | None:
    try:
        return date.fromisoformat(value) if isinstance(value, str) else value
    except ValueError:
        return None
