"""Which star to sync on next and what that buys, where go-tos land now, and the eyepiece that holds them."""

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.aligning.star_candidates import stars_now, usual_limits
from obslog.club.aligning.usual_limits import LOWEST_ALT_DEG
from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.situation import LiveMemory, Situation, no_arrivals, tube_in_use
from obslog.club.register.true_field import fields_to_choose_from
from obslog.estimate_words import chance_words
from obslog.pointing.model.geometry import StarPlaces
from obslog.pointing.planning.expected_landing import Landing
from obslog.pointing.planning.observable import admissible, even_sky
from obslog.pointing.tonight.landing_now import KnownNow, NextSync, known_now, landing_now, next_sync
from obslog.pointing.tonight.setup_fit import SetupFit
from obslog.pointing.tonight.setup_rows import some_stars

MOST_SYNCS = 3
WORTH_IT = 0.8
"""A sync that leaves more than that of the landing error is not worth the cold hands; judged."""
CHANGED = 0.3
POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def next_star_answers(session: Session, at: Situation, fit: SetupFit, memory: LiveMemory) -> list[LiveAnswer]:
    """The next star while syncs are few, and the landing that is expected as things stand."""
    if at.view is None or at.machine is None:
        return []
    known = known_now(at.machine, fit)
    synced, syncs = _synced(at)
    sky = even_sky(at.view.place.lat_deg, LOWEST_ALT_DEG)
    found = []
    landing = landing_now(known, synced, sky) if syncs else None
    if syncs < MOST_SYNCS:
        key = (at.hour, syncs, at.numbers.size)
        if key not in memory.next_stars:
            memory.next_stars[key] = _next(at, known, synced, sky)
        chosen = memory.next_stars[key]
        if chosen is not None:
            found += _next_words(chosen[0], chosen[1], landing, syncs)
    if landing is not None:
        found.append(_landing_words(session, at, known, synced, sky, landing))
    return found


def direction_words(az_deg: float) -> str:
    """The point of the compass that is nearest to an azimuth, of eight."""
    return POINTS[round(az_deg / 45.0) % 8]


def _synced(at: Situation) -> tuple[StarPlaces, int]:
    """The stars that were synced on, where they stood, in order."""
    arrivals = at.arrivals or no_arrivals()
    return some_stars(arrivals.stars, arrivals.is_sync), int(np.count_nonzero(arrivals.is_sync))


def _next(at: Situation, known: KnownNow, synced: StarPlaces, sky: StarPlaces) -> tuple[NextSync, str] | None:
    assert at.view is not None
    now = stars_now(at.view, at.now)
    usable = np.flatnonzero(admissible(now.candidates, usual_limits(at.view)))
    taken = {arrival.target for arrival in at.on_record}
    usable = np.array([star for star in usable if now.stars[star].name not in taken], dtype=np.int64)
    chosen = next_sync(known, synced, now.candidates.stars, usable, now.candidates.hard_to_find, sky)
    if chosen is None:
        return None
    where = direction_words(float(now.seen.az_deg[chosen.star]))
    alt_deg = float(now.seen.alt_deg[chosen.star])
    return chosen, f"{now.stars[chosen.star].name}, {alt_deg:.0f}° up in the {where}"


def _next_words(chosen: NextSync, star: str, before: Landing | None, syncs: int) -> list[LiveAnswer]:
    after = chosen.after.half_arcmin
    if before is None:
        words = f"sync first on {star}: half of the go-tos then land within {_size(after)}"
    elif after < WORTH_IT * before.half_arcmin:
        gain = f"half of the go-tos then land within {_size(after)}, not {_size(before.half_arcmin)}"
        words = f"sync next on {star}: {gain}"
    else:
        return []
    return [LiveAnswer(kind=LiveKind.NEXT_STAR, words=words, about=f"after {syncs}")]


def _landing_words(
    session: Session, at: Situation, known: KnownNow, synced: StarPlaces, sky: StarPlaces, landing: Landing
) -> LiveAnswer:
    half, most = landing.half_arcmin, landing.ninety_five_percent_arcmin
    words = f"go-tos now land within {_size(half)} (half of them), {_size(most)} (95 %)"
    tube = tube_in_use(session, at.where)
    fields = fields_to_choose_from(session, tube) if tube else []
    holding = next(((field, name) for field, name in fields if field >= 2.0 * most), None)
    if holding is not None:
        words += f": {holding[1]} holds them"
    elif fields:
        field, name = fields[-1]
        chance = landing_now(known, synced, sky, field).chance_in_field
        words += f": the widest eyepiece, {name}, holds {chance_words(chance)}"
    return LiveAnswer(
        kind=LiveKind.LANDING,
        words=words,
        about="landing",
        size_arcmin=most,
        steady_arcmin=CHANGED * most,
        probability=0.95,
    )


def _size(arcmin: float) -> str:
    """A radius for a cold reader: 6', or 1.4° where it is large."""
    return f"{arcmin:.0f}'" if arcmin < 90.0 else f"{arcmin / 60.0:.1f}°"
