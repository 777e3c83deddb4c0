"""When a target can be observed: above an altitude, in a dark sky, tonight and through the year."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from obslog.horizon import Horizon, hidden_alts_deg
from obslog.sky.evening.rising import airless_altitude_deg, transits_utc
from obslog.sky.evening.twilight import DARK_DEG
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import Target, target_places
from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.zero_crossings import STEP_MINUTES, Quantity, crossings, instants_after
from obslog.values import Place

_NIGHT = np.timedelta64(24, "h")
_HORIZON_STEP_MINUTES = 10.0


class Spell(NamedTuple):
    """A span of time, from its first instant to its last."""

    from_utc: np.datetime64
    until_utc: np.datetime64

    @property
    def hours(self) -> float:
        return float((self.until_utc - self.from_utc) / np.timedelta64(1, "h"))


@dataclass(frozen=True, kw_only=True)
class NightOf:
    """When a target can be observed between one noon and the next; `best_utc` is None where it cannot.

    `best_alt_deg` is the refracted altitude at the best instant, the highest one; `sun_below_deg` what counted as dark,
    None where it does not get dark, or any hour counts.
    """

    noon_utc: np.datetime64
    sun_below_deg: float | None
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
    horizon: Horizon = (),
    sun_below_deg: Sequence[float] = DARK_DEG,
) -> list[NightOf]:
    """For each night from a local noon on: when a target is above an altitude, and in sight, while it is dark.

    `min_alt_deg` is a refracted altitude; `horizon` hides what is behind it, looked at every ten minutes of a single
    night, every hour of several. `sun_below_deg` are the airless altitudes of the Sun's centre that count as dark, the
    darkest first: of each night the first that it reaches; with none any hour of the day counts.

    Raises: DateOutsideEphemeris.
    """
    noon = first_noon_utc.astype("datetime64[us]")
    hours = 24.0 * nights

    def above_deg(when: Instants) -> Array:
        seen = target_places(target, when, place)
        return seen.alt_deg - np.maximum(min_alt_deg, hidden_alts_deg(horizon, seen.az_deg))

    step = _HORIZON_STEP_MINUTES if horizon and nights == 1 else STEP_MINUTES
    spells = spells_above(above_deg, noon, hours, step_minutes=step)
    spans = [Spell(noon + k * _NIGHT, noon + (k + 1) * _NIGHT) for k in range(nights)]
    by_night = [common_spells(spells, [span]) for span in spans]
    limits: list[float | None] = [None] * nights
    if sun_below_deg:
        dark = _dark_by_night(spans, place, hours, sun_below_deg)
        limits = [limit for limit, _ in dark]
        by_night = [common_spells(up, night) for up, (_, night) in zip(by_night, dark, strict=True)]
    transits = transits_utc(target, noon, place, hours)
    return _with_best(target, place, spans, by_night, transits, limits)


def _dark_by_night(
    spans: Sequence[Spell], place: Place, hours: float, limits_deg: Sequence[float]
) -> list[tuple[float | None, list[Spell]]]:
    """The dark spells of each night, by the first of the limits that the Sun reaches in it, and that limit."""
    found: list[tuple[float | None, list[Spell]]] = [(None, [])] * len(spans)
    for limit_deg in limits_deg:
        dark = spells_above(_sun_below(limit_deg, place), spans[0].from_utc, hours)
        for night, span in enumerate(spans):
            if found[night][0] is None and (there := common_spells(dark, [span])):
                found[night] = (limit_deg, there)
        if all(limit is not None for limit, _ in found):
            break
    return found


def _sun_below(limit_deg: float, place: Place) -> Quantity:
    return lambda when: limit_deg - airless_altitude_deg(Body.SUN, when, place)


def spells_above(
    quantity: Quantity, start_utc: np.datetime64, hours: float, *, step_minutes: float = STEP_MINUTES
) -> list[Spell]:
    """The spans of time in which a quantity is not negative, in order; see `crossings`."""
    found = crossings(quantity, start_utc, hours, step_minutes=step_minutes)
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
    target: Target,
    place: Place,
    spans: list[Spell],
    by_night: list[list[Spell]],
    transits: Instants,
    limits: Sequence[float | None],
) -> list[NightOf]:
    """Adds to each night the instant of greatest altitude: an end of a spell, or a transit inside one."""
    candidates = [_candidates(spells, transits) for spells in by_night]
    every = np.concatenate([*candidates, np.empty(0, "datetime64[us]")])
    alt_deg = target_places(target, every, place).alt_deg
    cuts = np.cumsum([len(instants) for instants in candidates])[:-1]
    altitudes = np.split(alt_deg, cuts)
    return [
        _night(span, limit, spells, instants, alts)
        for span, limit, spells, instants, alts in zip(
            spans, limits, by_night, candidates, altitudes, strict=True
        )
    ]


def _candidates(spells: list[Spell], transits: Instants) -> Instants:
    inside = [transits[(transits > s.from_utc) & (transits < s.until_utc)] for s in spells]
    return np.concatenate([np.array(spells, "datetime64[us]").reshape(-1), *inside])


def _night(
    span: Spell, limit_deg: float | None, spells: list[Spell], instants: Instants, alt_deg: Array
) -> NightOf:
    if not spells:
        return NightOf(
            noon_utc=span.from_utc,
            sun_below_deg=limit_deg,
            spells=(),
            best_utc=None,
            best_alt_deg=float("nan"),
        )
    best = int(np.argmax(alt_deg))
    return NightOf(
        noon_utc=span.from_utc,
        sun_below_deg=limit_deg,
        spells=tuple(spells),
        best_utc=instants[best],
        best_alt_deg=float(alt_deg[best]),
    )
