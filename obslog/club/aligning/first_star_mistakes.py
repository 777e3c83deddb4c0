"""Why the first star missed: the likeliest mistakes, given where it landed and which this club made before."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from obslog.club.aligning.past_mistakes import NOTHING_BEFORE, PastMistakes
from obslog.club.aligning.star_candidates import BelowTheHorizon, star_places
from obslog.club.register.observing_site import ObservingSite
from obslog.errors import WrongInput
from obslog.fields import NumberField
from obslog.pointing.mistakes.posterior import LikelyCause, landed_from_offset, likely_causes
from obslog.pointing.mistakes.prior import Past
from obslog.pointing.mistakes.supposed import BrightStars, FirstStars, LocalCircumstances
from obslog.pointing.model.frames import FloatArray, horizontal_direction
from obslog.pointing.model.geometry import assumed_tube_west
from obslog.sky.evening.sun_caution import caution_for
from obslog.sky.names.lookup import find_in_sky
from obslog.sky.names.star_tables import all_stars
from obslog.sky.places.apparent_places import Places, apparent_places, directions_of
from obslog.sky.places.ephemeris import target_of, target_places
from obslog.times import night_of
from obslog.vocabulary.mounts import MountType

LANDED_ALT_DEG = NumberField("The landing's altitude", -90, 90, "degrees")
LANDED_AZ_DEG = NumberField("The landing's azimuth", 0, 360, "degrees")
EAST_DEG = NumberField("The offset east", -180, 180, "degrees")
NORTH_DEG = NumberField("The offset north", -180, 180, "degrees")


class WhereItLanded(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "Where the first star stood, or where the mount landed, is missing.",
            "Give --east DEG and --north DEG, or --landed-alt DEG and --landed-az DEG.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstMiss:
    """One star gone to before any sync: how far east and north of the field it stood, or where the mount landed."""

    star: str
    east_deg: float | None = None
    north_deg: float | None = None
    landed_alt_deg: float | None = None
    landed_az_deg: float | None = None


@dataclass(frozen=True, slots=True)
class ClubRecord:
    """Its sites (name, latitude, longitude in degrees), and the mistakes that it made on past nights."""

    sites: tuple[tuple[str, float, float], ...]
    past: PastMistakes = NOTHING_BEFORE


def causes_of_miss(
    record: ClubRecord,
    view: ObservingSite,
    at_utc: datetime,
    misses: list[FirstMiss],
    mount_type: MountType = MountType.GERMAN,
) -> list[LikelyCause]:
    """Every mistake with its probability, the likeliest first, weighed by the club's nights before that one.

    Raises UnknownInSky, WhereItLanded, OutOfRange, BelowTheHorizon for an offset from a star that was not up.
    """
    there = [target_places(target_of(find_in_sky(miss.star).thing), at_utc, view.place) for miss in misses]
    for miss, place in zip(misses, there, strict=True):
        if miss.east_deg is not None and float(place.alt_deg) < 0:
            raise BelowTheHorizon(miss.star, float(place.alt_deg), at_utc)
    seen = Places(
        *(np.array([float(getattr(one, name)) for one in there]) for name in Places.__dataclass_fields__)
    )
    landed = np.concatenate(
        [_landed(miss, place, view.place.lat_deg) for miss, place in zip(misses, there, strict=True)], axis=1
    )
    hour_angle_deg = seen.hour_angle_hours * 15
    first = FirstStars(
        hour_angle_deg=hour_angle_deg,
        dec_deg=seen.dec_deg,
        ra_deg=seen.ra_hours * 15,
        tube_west=assumed_tube_west(hour_angle_deg),
        landed=landed,
    )
    local = at_utc.astimezone(view.zone)
    zone_hours = (local.utcoffset() or timedelta(0)).total_seconds() / 3600
    circumstances = LocalCircumstances(
        mount_type=mount_type,
        lat_deg=view.place.lat_deg,
        lon_deg=view.place.lon_deg,
        local_date=local.date(),
        zone_hours=zone_hours,
        other_sites=tuple(site for site in record.sites if site[0] != view.site),
    )
    return likely_causes(first, circumstances, _bright_stars(view, at_utc), past_of(record, view, at_utc))


def past_of(record: ClubRecord, view: ObservingSite, at_utc: datetime) -> Past:
    """What the club did on the nights before that one: by it the mistakes are weighed beforehand."""
    return record.past.before(night_of(at_utc, view.zone))


def caution_of_misses(view: ObservingSite, at_utc: datetime, misses: list[FirstMiss]) -> str | None:
    """The solar caution that going to these stars again needs. Raises UnknownInSky."""
    return caution_for([target_of(find_in_sky(miss.star).thing) for miss in misses], at_utc, view.place)


def _landed(miss: FirstMiss, there: Places, lat_deg: float) -> FloatArray:
    """The direction (3, 1) in which the mount pointed."""
    if miss.landed_alt_deg is not None and miss.landed_az_deg is not None:
        LANDED_ALT_DEG.check(miss.landed_alt_deg)
        LANDED_AZ_DEG.check(miss.landed_az_deg)
        return horizontal_direction(np.array([miss.landed_az_deg]), np.array([miss.landed_alt_deg]))
    if miss.east_deg is None or miss.north_deg is None:
        raise WhereItLanded
    EAST_DEG.check(miss.east_deg)
    NORTH_DEG.check(miss.north_deg)
    star = star_places(there, lat_deg)
    east, north = np.array([miss.east_deg]), np.array([miss.north_deg])
    return landed_from_offset(star.hour_angle_deg, star.dec_deg, lat_deg, east, north)


def _bright_stars(view: ObservingSite, at_utc: datetime) -> BrightStars:
    stars = all_stars()
    seen = apparent_places(directions_of(stars), at_utc, view.place)
    up = np.flatnonzero(seen.alt_deg > 0)
    return BrightStars(
        tuple(stars[i].name for i in up),
        seen.hour_angle_hours[up] * 15,
        seen.dec_deg[up],
        np.array([stars[i].magnitude for i in up]),
    )
