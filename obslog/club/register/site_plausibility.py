"""What makes a site's place and zone believable."""

from obslog.errors import WrongInput
from obslog.fields import LATITUDE_DEG
from obslog.grammar.place_words import place_in_words
from obslog.grammar.zone_words import (
    WIDEST_STRAY_HOURS,
    ZonePlace,
    apart_deg,
    place_of_zone,
)
from obslog.times import standard_offset_hours, zone_named

# A place is doubted that is farther than this from the one its zone is named for, where a slip explains it: turned
# round or with the other sign it would lie within a third of that. Yakutsk's zone and Alaska's are as wide.
FAR_DEG = 20.0
CLOSE_DEG = 5.0
_MUCH_NEARER = 1 / 3


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


class DoubtfulPlace(WrongInput):
    def __init__(self, zone: str, typed: tuple[float, float], meant: tuple[float, float]) -> None:
        super().__init__(
            f"{place_in_words(*typed)} is far from where {zone} is the time.",
            f"Did you mean {place_in_words(*meant)}? If both are right, add --sure.",
        )


def check_site(
    zone: str | None, lon_deg: float | None, lat_deg: float | None = None, *, sure: bool = False
) -> None:
    """Holds a place against its zone, where the person is not sure.

    Raises UnknownZone, DoubtfulLongitude where the hours disagree, DoubtfulPlace where a slip in the place explains
    why it is far from the zone's.
    """
    if zone is None:
        return
    zone_named(zone)
    if lon_deg is None or sure:
        return
    centre = place_of_zone(zone)
    if lat_deg is None or centre is None:
        _check_hours(zone, lon_deg)
    elif apart_deg(lat_deg, lon_deg, centre.lat_deg, centre.lon_deg) > CLOSE_DEG:
        # Closer is Samoa, a day ahead.
        _check_hours(zone, lon_deg)
        _check_slips(centre, lat_deg, lon_deg)


def _check_hours(zone: str, lon_deg: float) -> None:
    zone_hours = standard_offset_hours(zone)
    if abs(lon_deg / 15 - zone_hours) > WIDEST_STRAY_HOURS:
        raise DoubtfulLongitude(lon_deg, zone, zone_hours)


def _check_slips(centre: ZonePlace, lat_deg: float, lon_deg: float) -> None:
    """Raises DoubtfulPlace where a place with a slip put right would be far nearer to that of the zone."""
    typed = apart_deg(lat_deg, lon_deg, centre.lat_deg, centre.lon_deg)
    slips = [(-lat_deg, lon_deg), (lat_deg, -lon_deg), (-lat_deg, -lon_deg)]
    if abs(lon_deg) <= LATITUDE_DEG.high:
        slips.append((lon_deg, lat_deg))
    distance, meant = min((apart_deg(*slip, centre.lat_deg, centre.lon_deg), slip) for slip in slips)
    if typed > FAR_DEG and distance < typed * _MUCH_NEARER:
        raise DoubtfulPlace(centre.zone, (lat_deg, lon_deg), meant)
