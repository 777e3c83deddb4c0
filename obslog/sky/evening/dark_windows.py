"""When each thing of a catalogue stands high enough in one dark night, all of it at once."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from obslog.errors import ObslogError
from obslog.horizon import Horizon, hidden_alts_deg
from obslog.sky.evening.night_grid import GridBlock, night_grid
from obslog.sky.evening.rising import track_about
from obslog.sky.evening.twilight import DARK_DEG
from obslog.sky.evening.visibility import Spell, spells_above, sun_below
from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import Directions, Places
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.refraction import airless_alt_deg, refracted_alt_deg, usual_air
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place

STEP = np.timedelta64(10, "m")


class Dark(StrEnum):
    """What counts as dark in a night: the best that it has."""

    NIGHT = "the Sun more than 18° down"
    TWILIGHT = "the Sun more than 12° down; it gets no darker"


class NotDark(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "It does not get dark from then until the next noon: the Sun stays within 12° of the horizon or is up.",
            "Give another time with --at, or look when the Moon or a planet is up: obslog sky when Moon",
        )


@dataclass(frozen=True)
class Windows:
    """For each of n things the spell about its highest instant, to the step of ten minutes.

    `ever` tells where there is one; elsewhere the other columns mean nothing. `best_alt_deg` is refracted;
    `moon_deg` is the distance from the Moon at the best instant.
    """

    ever: NDArray[np.bool_]
    from_utc: Instants
    until_utc: Instants
    best_utc: Instants
    best_alt_deg: Array
    moon_deg: Array
    moon_alt_deg: Array


def dark_spell(noon_utc: np.datetime64, place: Place, not_before_utc: np.datetime64) -> tuple[Spell, Dark]:
    """The longest dark spell of the night from a noon on, from an instant on. Raises NotDark."""
    sun = track_about(Body.SUN, noon_utc, place, 24.0)
    for limit_deg, dark in zip(DARK_DEG, Dark, strict=True):
        spells = spells_above(sun_below(limit_deg, sun), noon_utc, 24.0)
        if spells:
            left = [Spell(max(s.from_utc, not_before_utc), s.until_utc) for s in spells]
            left = [spell for spell in left if spell.from_utc < spell.until_utc]
            if not left:
                continue
            return max(left, key=lambda spell: spell.hours), dark
    raise NotDark


def dark_windows(
    directions: Directions, spell: Spell, place: Place, above_deg: float, horizon: Horizon = ()
) -> Windows:
    """When each of n things stands above a refracted altitude, and above what hides the sky there, in a spell.

    Raises: NightTooLong; DateOutsideEphemeris.
    Neglects: what happens between two instants ten minutes apart; that air does not bend a straight edge alike.
    """
    when = np.arange(spell.from_utc, spell.until_utc + STEP, STEP)
    when[-1] = spell.until_utc
    air = usual_air(place.elevation_m)
    limit_deg = float(airless_alt_deg(above_deg, air))
    airless = tuple((az_deg, float(airless_alt_deg(alt_deg, air))) for az_deg, alt_deg in horizon)
    moon = body_places(Body.MOON, when, place)
    parts = [
        _windows(block, when, limit_deg, airless, place, moon)
        for block in night_grid(directions, when, place)
    ]
    if not parts:
        none, instants = np.empty(0), np.empty(0, "datetime64[us]")
        return Windows(np.empty(0, bool), instants, instants, instants, none, none, none)
    columns = zip(*parts, strict=True)
    return Windows(*(np.concatenate(column) for column in columns))


def _windows(
    block: GridBlock, when: Instants, limit_deg: float, horizon: Horizon, place: Place, moon: Places
) -> tuple[NDArray[np.generic], ...]:
    alt, step = block.airless_alt_deg, np.arange(when.size)
    down = alt < limit_deg
    if horizon:
        down |= alt < hidden_alts_deg(horizon, block.az_deg)
    best = np.argmax(np.where(down, alt - 180, alt), axis=1)  # whatever is in sight beats whatever is not
    before = np.where(down & (step < best[:, None]), step, -1).max(axis=1)
    after = np.where(down & (step > best[:, None]), step, when.size).min(axis=1)
    rows = np.arange(best.size)
    best_alt, best_az = alt[rows, best], block.az_deg_at(best)
    from_moon = separation_deg(best_az, best_alt, moon.az_deg[best], moon.airless_alt_deg[best])
    seen = refracted_alt_deg(best_alt, usual_air(place.elevation_m))
    return (
        ~down[rows, best], when[before + 1], when[after - 1], when[best], seen, from_moon,
        moon.airless_alt_deg[best],
    )  # fmt: skip
