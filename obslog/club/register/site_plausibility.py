"""What makes a site's place and zone believable."""

from datetime import UTC, datetime

from obslog.errors import WrongInput
from obslog.times import zone_named

# Zones follow longitude at 15 degrees an hour; the widest that law makes them stray is about 3.5 hours.
WIDEST_STRAY_HOURS = 3.5
_WINTER, _SUMMER = datetime(2026, 1, 1, tzinfo=UTC), datetime(2026, 7, 1, tzinfo=UTC)


class DoubtfulLongitude(WrongInput):
    def __init__(self, lon_deg: float, zone: str, zone_hours: float) -> None:
        other_sign = abs(-lon_deg / 15 - zone_hours) <= WIDEST_STRAY_HOURS
        meant = (
            f"East is positive: did you mean {-lon_deg:g}?" if other_sign else "Check both; east is positive."
        )
        super().__init__(
            f"Longitude {lon_deg:g} is {lon_deg / 15:+.1f} h from Greenwich, but {zone} is at {zone_hours:+.1f} h.",
            f"{meant} If both are right, add --sure.",
        )


def standard_offset_hours(zone: str) -> float:
    """The zone's offset from UTC without summer time, in hours, east positive."""
    zone_info = zone_named(zone)
    offsets = [moment.astimezone(zone_info).utcoffset() for moment in (_WINTER, _SUMMER)]
    return min(offset.total_seconds() for offset in offsets if offset is not None) / 3600


def check_site(zone: str | None, lon_deg: float | None, *, sure: bool = False) -> None:
    """Raises UnknownZone, or DoubtfulLongitude where longitude and zone disagree and the person is not sure."""
    if zone is None:
        return
    zone_hours = standard_offset_hours(zone)
    if lon_deg is not None and not sure and abs(lon_deg / 15 - zone_hours) > WIDEST_STRAY_HOURS:
        raise DoubtfulLongitude(lon_deg, zone, zone_hours)
