"""When a direction needs the solar caution."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from obslog.sky.evening.rising import SUN_HORIZON_DEG
from obslog.sky.names.solar_system import INNER_PLANETS, Body
from obslog.sky.places.apparent_places import Places
from obslog.sky.places.ephemeris import Target, body_places, target_places
from obslog.sky.places.kernel import When
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place
from obslog.vocabulary.cautions import Danger

REACH_DEG = 20.0


@dataclass(frozen=True, slots=True)
class SolarCaution:
    """A danger, and the smallest angle to the Sun's centre."""

    danger: Danger
    separation_deg: float


def solar_caution(target: Target, when_utc: When, place: Place) -> SolarCaution | None:
    """The caution that a target needs at an instant or over several; None where none is needed.

    The Sun always needs it; anything needs it while any part of the Sun is up, and more so within 20 deg of
    it. With several instants the worst counts. A direction that is nan is taken as close to the Sun.

    Raises: DateOutsideEphemeris; TimeWithoutZone.
    """
    sun = body_places(Body.SUN, when_utc, place)
    if target is Body.SUN:
        return SolarCaution(Danger.THE_SUN, 0.0)
    there = target_places(target, when_utc, place)
    apart = _apart_deg(there, sun)
    if np.any(in_reach_of_sun(there, sun)):
        return SolarCaution(Danger.NEAR_THE_SUN, float(np.min(apart)))
    if np.any(sun_is_up(sun)):
        return SolarCaution(Danger.DAYTIME, float(np.min(apart)))
    return None


def in_reach_of_sun(places: Places, sun: Places) -> NDArray[np.bool_]:
    """Which places lie within 20 deg of the Sun while it is up; nan counts as within. Shapes broadcast."""
    return np.asarray(sun_is_up(sun) & ~(_apart_deg(places, sun) > REACH_DEG))


def sun_is_up(sun: Places) -> NDArray[np.bool_]:
    """Whether any part of the Sun is above a level horizon."""
    return np.asarray(sun.airless_alt_deg > SUN_HORIZON_DEG)


def _apart_deg(places: Places, sun: Places) -> NDArray[np.float64]:
    return separation_deg(places.az_deg, places.airless_alt_deg, sun.az_deg, sun.airless_alt_deg)


def caution_of_the_day(at_utc: datetime, place: Place) -> str | None:
    """The caution that any direction needs while the Sun is up; None by night."""
    return Danger.DAYTIME.value if np.any(sun_is_up(body_places(Body.SUN, at_utc, place))) else None


def caution_for(targets: Iterable[Target], at_utc: datetime, place: Place) -> str | None:
    """The solar caution that looking at these targets needs: the gravest; None where none is needed."""
    return gravest(found.danger for target in targets if (found := solar_caution(target, at_utc, place)))


def caution_of_night(
    target: Target, best_utc: datetime, shown_utc: Sequence[datetime], place: Place
) -> str | None:
    """The caution of a night's answer: that of the instant to look at, or of any that is shown beside the Sun.

    The planets that never leave the Sun need it whenever they are asked about.
    """
    dangers = [found.danger for found in [solar_caution(target, best_utc, place)] if found]
    beside = solar_caution(target, shown_utc, place) if shown_utc else None
    if beside and beside.danger is Danger.NEAR_THE_SUN:
        dangers.append(beside.danger)
    if isinstance(target, Body) and target in INNER_PLANETS:
        dangers.append(Danger.NEVER_FAR)
    return gravest(dangers)


def gravest(dangers: Iterable[str | None]) -> str | None:
    """The caution of the worst of several dangers."""
    there = set(dangers)
    return next((danger.value for danger in Danger if danger in there), None)
