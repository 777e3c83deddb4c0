"""An xsd:dateTime as an instant with its zone, or as a time by somebody's clock where it has none."""

import re
from datetime import UTC, datetime, timedelta, timezone

_MOMENT = re.compile(
    r"(\d{4,})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d)(?:[.,](\d+))?)?\s*(Z|z|UTC|[+-]\d\d:?\d\d)?$"
)
_FURTHEST = timedelta(hours=14)  # XML Schema part 2, 3.2.7: zones lie within 14 hours


def read_moment(text: str) -> datetime | None:
    """The moment; without a zone where none is told, and None for what is no date and time of the calendar.

    24:00:00 is the midnight that ends the day (XML Schema part 2, 3.2.7.1); parts of a millionth of a second are cut.
    """
    found = _MOMENT.match(text.strip())
    if found is None:
        return None
    year, month, day, hour, minute = (int(found[place]) for place in range(1, 6))
    second, part = int(found[6] or 0), int((found[7] or "")[:6].ljust(6, "0"))
    next_day = hour == 24 and minute == second == part == 0
    try:
        zone = _zone(found[8])
        moment = datetime(year, month, day, 0 if next_day else hour, minute, second, part, tzinfo=zone)
        return moment + timedelta(days=1) if next_day else moment
    except (ValueError, OverflowError):
        return None


def _zone(text: str | None) -> timezone | None:
    if text is None:
        return None
    if text in ("Z", "z", "UTC"):
        return UTC
    offset = timedelta(hours=int(text[1:3]), minutes=int(text[-2:]))
    if offset > _FURTHEST or int(text[-2:]) > 59:
        raise ValueError(text)
    return timezone(-offset if text[0] == "-" else offset)
