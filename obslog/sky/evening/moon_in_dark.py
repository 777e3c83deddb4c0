"""The Moon in the dark hours of one night: how much of it is lit, and when it is up."""

from dataclasses import dataclass

import numpy as np

from obslog.sky.evening.rising import airless_altitude_deg
from obslog.sky.evening.visibility import Spell, spells_above
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_disc
from obslog.sky.places.moon import PhaseName, moon_elongation_deg, phase_name
from obslog.values import Place

_SETS_AT_DEG = -50 / 60  # refraction and the radius, as for the Sun


@dataclass(frozen=True, slots=True)
class MoonInDark:
    """The phase in the middle of the dark hours, the lit part of the disc, and the spells in which it is up."""

    phase: PhaseName
    illuminated: float
    up: tuple[Spell, ...]


def moon_in_dark(spell: Spell, place: Place) -> MoonInDark:
    """The Moon in a spell of a night. Raises: DateOutsideEphemeris."""
    middle = np.array([spell.from_utc + (spell.until_utc - spell.from_utc) / 2])
    up = spells_above(
        lambda when: airless_altitude_deg(Body.MOON, when, place) - _SETS_AT_DEG, spell.from_utc, spell.hours
    )
    return MoonInDark(
        phase_name(float(moon_elongation_deg(middle)[0])),
        float(body_disc(Body.MOON, middle, place).illuminated[0]),
        tuple(up),
    )
