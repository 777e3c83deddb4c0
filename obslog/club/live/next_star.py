"""Which star to sync on next: the next one of the plan, unless it cannot be seen or another is far better."""

import numpy as np

from obslog.angles import compass_point
from obslog.club.aligning.star_candidates import StarsNow, stars_now, usual_limits
from obslog.club.live.situation import NextStar, Situation
from obslog.club.live.tonights_plan import names_left, tonights_plan, when_seen
from obslog.horizon import hidden_alts_deg
from obslog.pointing.model.geometry import StarPlaces
from obslog.pointing.planning.expected_landing import ExpectedLanding
from obslog.pointing.planning.observable import ObservableLimits, in_sight
from obslog.pointing.tonight.landing_now import KnownNow, landing_after, next_sync

WORTH_IT = 0.8
"""A sync that leaves more than that of the landing error is not worth the cold hands; judged."""


def next_star(
    at: Situation, known: KnownNow, synced: StarPlaces, sky: StarPlaces, before: ExpectedLanding | None
) -> NextStar | None:
    """The star to sync on next; None where none can be seen. `before` is the landing as things stand, if any sync was.

    The plan leads, for it is what people have read. Another star is named only with the reason: the plan's cannot be
    seen, or is not worth a sync where that other one is.
    """
    assert at.view is not None
    seen = when_seen(at.view, at.now)
    if seen is None:
        return None
    instant, from_when = seen
    now, limits = stars_now(at.view, instant), usual_limits(at.view)
    gone_to = {arrival.target for arrival in at.on_record}
    free = np.array([star.name not in gone_to for star in now.stars])
    usable = np.flatnonzero(in_sight(now.candidates, limits) & free)
    places = now.candidates.stars
    best = next_sync(known, synced, places, usable, now.candidates.hard_to_find, sky)
    if best is None:
        return None
    plan = tonights_plan(at, instant)
    number = {star.name: place for place, star in enumerate(now.stars)}
    left = [number[name] for name in names_left(plan, at)]
    planned = next((star for star in left if star in usable), None)
    instead = ""
    if left and planned != left[0]:
        instead = f"{now.stars[left[0]].name}, the next of the plan, {_why_not(now, left[0], limits)}"
    if planned is None or plan is None:
        return _named(now, best.star, best.after.half_arcmin, from_when, instead)
    if before is None and now.stars[planned].name == plan.stars[0].name:
        return _named(now, planned, plan.after_each[0].half, from_when, instead)
    half = landing_after(known, synced, places, planned, sky).half_arcmin
    if before is not None and half >= before.half_arcmin * WORTH_IT > best.after.half_arcmin:
        which = "which comes then" if instead else "the next of the plan"
        little = f"{now.stars[planned].name}, {which}, would hardly change that"
        instead = f"{instead}; {little}" if instead else little
        planned, half = best.star, best.after.half_arcmin
    return _named(now, planned, half, from_when, instead)


def _named(now: StarsNow, star: int, half_arcmin: float, from_when: str, instead: str) -> NextStar:
    where = compass_point(float(now.seen.az_deg[star]))
    return NextStar(
        where=f"{now.stars[star].name}, {now.seen.alt_deg[star]:.0f}° up in the {where}",
        half_arcmin=half_arcmin,
        from_when=from_when,
        instead=instead,
    )


def _why_not(now: StarsNow, star: int, limits: ObservableLimits) -> str:
    """Why a star that was planned cannot be synced on now."""
    alt_deg = float(now.seen.airless_alt_deg[star])
    if alt_deg < 0:
        return "has set"
    if alt_deg < limits.lowest_alt_deg:
        return f"stands only {alt_deg:.0f}° up now"
    if alt_deg > limits.highest_alt_deg:
        return "stands too near the zenith now"
    if alt_deg <= float(hidden_alts_deg(limits.horizon, now.seen.az_deg[star])):
        return "is hidden by the horizon of this site now"
    if float(now.candidates.magnitude[star]) > now.candidates.shown_mag:
        return "is too faint for so light a sky"
    return "is too near the Moon or the Sun now"
