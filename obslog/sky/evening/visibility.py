"""When a target can be observed: above an altitude, in a dark sky, tonight and through the year."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from obslog.sky.evening.rising import airless_altitude_deg, transits_utc
from obslog.sky.evening.twilight import NAUTICAL_DEG
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import Target, target_places
from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.zero_crossings import Quantity, crossings, instants_after
from obslog.values import Place

_NIGHT = np.timedelta64(24, "h")


class Spell(NamedTuple):
    """A span of time, from its first instant to its last."""

    from_utc: np.datetime64
    until_utc: np.datetime64

    @property
    def hours(self) -> float:
        return float((self.until_utc - self.from_utc) / np.timedelta64(1, "h"))


@dataclass(frozen=True)
class NightOf:
    """When a target can be observed between one noon and the next; `best_utc` is None where it cannot.

    `best_alt_deg` is the refracted altitude at the best instant, the highest one.
    """

    noon_utc: np.datetime64
    spells: tuple[Spell, ...]
    best_utc: np.datetime64 | None
    best_alt_deg: float

    @property
    def hours(self) -> float:
        """How long the target can be observed."""
        return sum(spell.hours for spell in self.spells)


def observable_nights(
    target: Target,
    first_noon_utc: np.datetime64,
    place: Place,
    *,
    nights: int = 1,
    min_alt_deg: float = 30.0,
    sun_below_deg: float | None = NAUTICAL_DEG,
) -> list[NightOf]:
    """For each night from a local noon on: when a target is above an altitude while the Sun is low enough.

    `min_alt_deg` is a refracted altitude; `sun_below_deg` the airless altitude of the Sun's centre, None for
    any hour of the day. A year of nights takes about a second.

    Raises: DateOutsideEphemeris.
    """
    noon = first_noon_utc.astype("datetime64[us]")
    hours = 24.0 * nights
    spells = spells_above(lambda when: target_places(target, when, place).alt_deg - min_alt_deg, noon, hours)
    if sun_below_deg is not None:
        dark = spells_above(
            lambda when: sun_below_deg - airless_altitude_deg(Body.SUN, when, place), noon, hours
        )
        spells = common_spells(spells, dark)
    spans = [Spell(noon + k * _NIGHT, noon + (k + 1) * _NIGHT) for k in range(nights)]
    by_night = [common_spells(spells, [span]) for span in spans]
    transits = transits_utc(target, noon, place, hours)
    return _with_best(target, place, spans, by_night, transits)


def spells_above(quantity: Quantity, start_utc: np.datetime64, hours: float) -> list[Spell]:
    """The spans of time in which a quantity is not negative, in order; see `crossings`."""
    found = crossings(quantity, start_utc, hours)
    ends = instants_after(start_utc, np.array([0.0, hours * 60]))
    begins, stops = list(found.when_utc[found.upward]), list(found.when_utc[~found.upward])
    if quantity(ends[:1])[0] >= 0:
        begins = [ends[0], *begins]
    if len(stops) < len(begins):
        stops = [*stops, ends[1]]
    return [Spell(begin, stop) for begin, stop in zip(begins, stops, strict=True)]


def common_spells(first: Iterable[Spell], second: Iterable[Spell]) -> list[Spell]:
    """The spans of time that lie in both of two lists, each in order and without overlaps."""
    ones, others = list(first), list(second)
    found, i, j = [], 0, 0
    while i < len(ones) and j < len(others):
        begin = max(ones[i].from_utc, others[j].from_utc)
        stop = min(ones[i].until_utc, others[j].until_utc)
        if begin < stop:
            found.append(Spell(begin, stop))
        if ones[i].until_utc < others[j].until_utc:
            i += 1
        else:
            j += 1
    return found


def _with_best(
    target: Target, place: Place, spans: list[Spell], by_night: list[list[Spell]], transits: Instants
) -> list[NightOf]:
    """Adds to each night the instant of greatest altitude: an end of a spell, or a transit inside one."""
    candidates = [_candidates(spells, transits) for spells in by_night]
    every = np.concatenate([*candidates, np.empty(0, "datetime64[us]")])
    alt_deg = target_places(target, every, place).alt_deg
    cuts = np.cumsum([len(instants) for instants in candidates])[:-1]
    altitudes = np.split(alt_deg, cuts)
    return [
        _night(span, spells, instants, alts)
        for span, spells, instants, alts in zip(spans, by_night, candidates, altitudes, strict=True)
    ]


def _candidates(spells: list[Spell], transits: Instants) -> Instants:
    inside = [transits[(transits > s.from_utc) & (transits < s.until_utc)] for s in spells]
    return np.concatenate([np.array(spells, "datetime64[us]").reshape(-1), *inside])


def _night(span: Spell, spells: list[Spell], instants: Instants, alt_deg: Array) -> NightOf:
    if not spells:
        return NightOf(span.from_utc, (), None, float("nan"))
    best = int(np.argmax(alt_deg))
    return NightOf(span.from_utc, tuple(spells), instants[best], float(alt_deg[best]))
