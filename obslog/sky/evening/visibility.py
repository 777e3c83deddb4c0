"""When a target can be observed: above an altitude, in a dark sky, tonight and through the year."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from obslog.horizon import Horizon, hidden_alts_deg
from obslog.sky.evening.rising import track_about, transits_utc
from obslog.sky.evening.twilight import DARK_DEG
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import Target
from obslog.sky.places.kernel import Array, Instants
from obslog.sky.places.refraction import Air, airless_alt_deg, refracted_alt_deg, usual_air
from obslog.sky.places.tracks import Track
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


class _Best(NamedTuple):
    """The highest instant of a night, and how high; none where there is none."""

    utc: np.datetime64 | None
    alt_deg: float


_NEVER = _Best(None, float("nan"))


@dataclass(frozen=True, slots=True, kw_only=True)
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
    track = track_about(target, noon, place, hours)
    step = _HORIZON_STEP_MINUTES if horizon and nights == 1 else STEP_MINUTES
    above = _above(track, min_alt_deg, horizon, usual_air(place.elevation_m))
    spans = [Spell(noon + k * _NIGHT, noon + (k + 1) * _NIGHT) for k in range(nights)]
    spells = common_spells(spells_above(above, noon, hours, step_minutes=step), spans)
    limits: list[float | None] = [None] * nights
    if sun_below_deg:
        limits, dark = _dark_of_nights(spans, place, sun_below_deg)
        spells = common_spells(spells, dark)
    best = _best_of_nights(spells, transits_utc(track, noon, hours), track, noon, place)
    there: list[list[Spell]] = [[] for _ in spans]
    for spell, night in zip(spells, _nights_of(spells, noon).tolist(), strict=True):
        there[night].append(spell)
    return [_night(span, limits[k], there[k], best.get(k, _NEVER)) for k, span in enumerate(spans)]


def _above(track: Track, min_alt_deg: float, horizon: Horizon, air: Air) -> Quantity:
    """How far a target is above the altitude at which it is in sight, both without air."""
    if not horizon:
        limit_deg = airless_alt_deg(min_alt_deg, air)
        return lambda when: track.airless_alt_deg(when) - limit_deg

    def above_deg(when: Instants) -> Array:
        alt_deg, az_deg = track.airless_alt_az_deg(when)
        return alt_deg - airless_alt_deg(np.maximum(min_alt_deg, hidden_alts_deg(horizon, az_deg)), air)

    return above_deg


def _dark_of_nights(
    spans: Sequence[Spell], place: Place, limits_deg: Sequence[float]
) -> tuple[list[float | None], list[Spell]]:
    """For each night the first of the limits that the Sun reaches in it; and the dark spells of all, in order."""
    noon, hours = spans[0].from_utc, 24.0 * len(spans)
    sun = track_about(Body.SUN, noon, place, hours)
    limits: list[float | None] = [None] * len(spans)
    found: list[Spell] = []
    for limit_deg in limits_deg:
        lighter = {night for night, limit in enumerate(limits) if limit is None}
        if not lighter:
            break
        dark = common_spells(spells_above(sun_below(limit_deg, sun), noon, hours), spans)
        for spell, night in zip(dark, _nights_of(dark, noon).tolist(), strict=True):
            if night in lighter:
                limits[night] = limit_deg
                found.append(spell)
    return limits, sorted(found)


def sun_below(limit_deg: float, sun: Track) -> Quantity:
    """How far the Sun is below an airless altitude."""
    return lambda when: limit_deg - sun.airless_alt_deg(when)


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


def common_spells(first: Sequence[Spell], second: Sequence[Spell]) -> list[Spell]:
    """The spans of time that lie in both of two lists, each in order and without overlaps."""
    edges = np.array([*first, *second], "datetime64[us]").reshape(-1)
    begins = np.arange(edges.size) % 2 == 0
    order = np.lexsort((begins, edges))  # where one ends as another begins, the end comes first
    in_both = np.cumsum(np.where(begins, 1, -1)[order])[:-1] == 2
    edges = edges[order]
    return [Spell(*pair) for pair in zip(edges[:-1][in_both], edges[1:][in_both], strict=True)]


def _nights_of(spells: Sequence[Spell], noon_utc: np.datetime64) -> NDArray[np.int64]:
    """In which night from a noon on each spell begins."""
    begins = np.array([spell.from_utc for spell in spells], "datetime64[us]")
    return np.asarray((begins - noon_utc) // _NIGHT)


def _best_of_nights(
    spells: Sequence[Spell], transits: Instants, track: Track, noon_utc: np.datetime64, place: Place
) -> dict[int, _Best]:
    """Of each night with a spell the instant of greatest altitude: an end of a spell, or a transit inside one."""
    if not spells:
        return {}
    ends, nights = np.array(spells, "datetime64[us]"), _nights_of(spells, noon_utc)
    at = np.searchsorted(ends[:, 0], transits) - 1
    inside = (at >= 0) & (transits < ends[at, 1])
    instants = np.concatenate([ends.reshape(-1), transits[inside]])
    night = np.concatenate([np.repeat(nights, 2), nights[at[inside]]])
    alt_deg = refracted_alt_deg(track.airless_alt_deg(instants), usual_air(place.elevation_m))
    order = np.lexsort((-alt_deg, night))
    which, first = np.unique(night[order], return_index=True)
    highest = order[first]
    return {
        int(k): _Best(utc, float(alt))
        for k, utc, alt in zip(which, instants[highest], alt_deg[highest], strict=True)
    }


def _night(span: Spell, limit_deg: float | None, spells: list[Spell], best: _Best) -> NightOf:
    return NightOf(
        noon_utc=span.from_utc,
        sun_below_deg=limit_deg,
        spells=tuple(spells),
        best_utc=best.utc,
        best_alt_deg=best.alt_deg,
    )
