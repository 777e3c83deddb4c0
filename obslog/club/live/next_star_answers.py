"""Which star to sync on next and what that buys, where go-tos land now, and the eyepiece that holds them."""

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.aligning.usual_limits import LOWEST_ALT_DEG
from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.next_star import WORTH_IT, next_star
from obslog.club.live.situation import LiveMemory, NextStar, Situation, no_arrivals, tube_in_use
from obslog.club.live.tonights_plan import MOST_SYNCS
from obslog.club.register.true_field import fields_to_choose_from
from obslog.estimate_words import chance_words
from obslog.pointing.model.geometry import StarPlaces, some_stars
from obslog.pointing.planning.expected_landing import ExpectedLanding
from obslog.pointing.planning.observable import even_sky
from obslog.pointing.tonight.landing_now import KnownNow, known_now, landing_now
from obslog.pointing.tonight.setup_fit import SetupFit

CHANGED = 0.3


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
            memory.next_stars[key] = next_star(at, known, synced, sky, landing)
        chosen = memory.next_stars[key]
        if chosen is not None:
            found += _next_words(chosen, landing, syncs)
    if landing is not None:
        found.append(_landing_words(session, at, known, synced, sky, landing))
    return found


def _synced(at: Situation) -> tuple[StarPlaces, int]:
    """The stars that were synced on, where they stood, in order."""
    arrivals = at.arrivals or no_arrivals()
    return some_stars(arrivals.stars, arrivals.is_sync), int(np.count_nonzero(arrivals.is_sync))


def _next_words(star: NextStar, before: ExpectedLanding | None, syncs: int) -> list[LiveAnswer]:
    then = f"half of the go-tos then land within {_size(star.half_arcmin)}"
    if before is None:
        words = f"{star.from_when}sync first on {star.where}: {then}"
    elif star.half_arcmin < WORTH_IT * before.half_arcmin:
        words = f"{star.from_when}sync next on {star.where}: {then}, not {_size(before.half_arcmin)}"
    else:
        return []
    if star.instead:
        words += f" ({star.instead})"
    return [LiveAnswer(kind=LiveKind.NEXT_STAR, words=words, about=f"after {syncs}")]


def _landing_words(
    session: Session,
    at: Situation,
    known: KnownNow,
    synced: StarPlaces,
    sky: StarPlaces,
    landing: ExpectedLanding,
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
