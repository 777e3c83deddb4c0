"""The plan of sync stars that leads a set-up: that which `brief` and `next` tell, followed until its stars are done."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from obslog.club.aligning.star_candidates import stars_now, usual_limits
from obslog.club.aligning.sync_star_plan import StarPlan, star_plan_from, steps_to
from obslog.club.live.situation import Situation
from obslog.club.live.sun_answers import sun_is_up
from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.by_day import AFTER_DUSK, first_stars_utc, is_too_light
from obslog.pointing.planning.observable import in_sight
from obslog.pointing.planning.star_choice import TooFewStars
from obslog.pointing.tonight.mount_record import known_before
from obslog.vocabulary.arrivals import Role

MOST_SYNCS = 3
HOLDS, STEPS = timedelta(minutes=10), 6
"""So long a plan is followed before the first sync where a star of it is lost meanwhile, and so many times as long
where none is; judged."""
HARDLY_DARK = "it is hardly dark enough for stars: "


def when_seen(view: ObservingSite, now: datetime) -> tuple[datetime, str] | None:
    """When a star can be synced on, now or later in the same night, and words of it where that is not now.

    None while the Sun is up and no stars come after it in that night. Raises DateOutsideEphemeris.
    """
    if not is_too_light(view, now):
        return now, ""
    first = first_stars_utc(view, now)
    if first is not None and view.night_at(first) == view.night_at(now):
        words = f"from {first.astimezone(view.zone):%H:%M} on, as soon as it is dark enough, "
        # at dusk itself, as the briefing plans, for a minute may make another star
        return first - AFTER_DUSK, words
    return None if sun_is_up(now, view.place) else (now, HARDLY_DARK)


def tonights_plan(at: Situation, seen_utc: datetime) -> StarPlan | None:
    """The plan of the set-up's beginning, or of dusk where that came later, as long as all its stars can be seen.

    Until the first sync it is made anew by the hour, and earlier where one of its stars is lost. So it stays the same
    list, where of stars that serve alike each minute may choose another. It is made from the record without this
    set-up, so that no arrival of tonight changes it. None where the sky has too few stars, or the mount or the place is
    not known.
    """
    if at.view is None or at.machine is None or at.record is None:
        return None
    knowledge, named = known_before(at.machine, at.record), (at.where.mount.name, None)
    limits = usual_limits(at.view)
    begun = next((arrival.at_utc for arrival in at.on_record if arrival.role == Role.SYNC), seen_utc)
    then = stars_now(at.view, begun)
    seen = {then.stars[star].name for star in np.flatnonzero(in_sight(then.candidates, limits))}
    plan = None
    for planned_utc in _instants(at, at.view, begun):
        try:
            plan = star_plan_from((knowledge, [], named), at.view, planned_utc, MOST_SYNCS, limits)
        except TooFewStars:
            continue
        if seen.issuperset(star.name for star in plan.stars):
            break
    return plan


def _instants(at: Situation, view: ObservingSite, begun: datetime) -> list[datetime]:
    """When the plan may have been made for a first sync at an instant: first the one that holds longest."""
    started = at.where.setup.started_utc
    seen = when_seen(view, started) if started else None
    if seen is None or begun < seen[0]:
        return [begun]
    held = (begun - seen[0]) // HOLDS
    return [*(seen[0] + held // steps * steps * HOLDS for steps in (STEPS, 1)), begun]


def names_left(plan: StarPlan | None, at: Situation) -> list[str]:
    """The stars of the plan that were not gone to, in order; none once a sync was made on a star that is not of it."""
    named = [star.name for star in plan.stars] if plan else []
    synced = {arrival.target for arrival in at.on_record if arrival.role == Role.SYNC}
    if not synced <= set(named):
        return []
    gone_to = {arrival.target for arrival in at.on_record}
    return [name for name in named if name not in gone_to]


def syncs_made(at: Situation) -> int:
    """How many syncs the set-up has on record."""
    return sum(arrival.role == Role.SYNC for arrival in at.on_record)


def is_measured(at: Situation) -> bool:
    """Whether checks after a sync tell how the mount lands tonight, which the plan is made without."""
    return bool(syncs_made(at)) and any(arrival.role != Role.SYNC for arrival in at.on_record)


def what_is_left(at: Situation, seen_utc: datetime) -> StarPlan | None:
    """The plan without the stars that were gone to or cannot be seen now, as the others stand now.

    None where no star of the plan is left.
    """
    plan = tonights_plan(at, seen_utc)
    if plan is None or at.view is None or at.machine is None:
        return None
    now = stars_now(at.view, seen_utc)
    seen = in_sight(now.candidates, usual_limits(at.view))
    number = {star.name: place for place, star in enumerate(now.stars)}
    left = [number[name] for name in names_left(plan, at) if seen[number[name]]]
    if not left:
        return None
    landing = dict(zip((star.name for star in plan.stars), plan.after_each, strict=True))
    return replace(
        plan,
        stars=steps_to(now, left, at.machine),
        after_each=[landing[now.stars[star].name] for star in left],
    )
