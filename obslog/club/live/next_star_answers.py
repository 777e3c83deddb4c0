"""Which star to sync on next and what that buys, where go-tos land now, and the eyepiece that holds them."""

from collections.abc import Callable, Sequence

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.aligning.usual_limits import LOWEST_ALT_DEG
from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.next_star import WORTH_IT, next_star
from obslog.club.live.situation import LiveMemory, NextStar, Situation, no_arrivals, tube_in_use
from obslog.club.live.tonights_plan import MOST_SYNCS
from obslog.club.register.true_field import true_field_arcmin
from obslog.club.targets.eyepieces_at_hand import Outing, fields_at_hand
from obslog.estimate_words import chance_words
from obslog.pointing.model.geometry import StarPlaces, some_stars
from obslog.pointing.planning.expected_landing import ExpectedLanding
from obslog.pointing.planning.observable import even_sky
from obslog.pointing.tonight.landing_now import known_now, landing_now
from obslog.pointing.tonight.setup_fit import SetupFit
from obslog.records.tables.logbook_tables import Eyepiece

CHANGED = 0.3
Field = tuple[float, str]
"""A true field in arcminutes, and the eyepiece that shows it."""


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
        at_hand, is_in = _fields(session, at, memory)
        found.append(
            _landing_words(
                landing,
                _eyepiece_words(
                    at_hand,
                    is_in,
                    landing.ninety_five_percent_arcmin,
                    lambda field: landing_now(known, synced, sky, field).chance_in_field,
                ),
            )
        )
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


def _landing_words(landing: ExpectedLanding, eyepiece: str) -> LiveAnswer:
    half, most = landing.half_arcmin, landing.ninety_five_percent_arcmin
    return LiveAnswer(
        kind=LiveKind.LANDING,
        words=f"go-tos now land within {_size(half)} (half of them), {_size(most)} (95 %){eyepiece}",
        about="landing",
        size_arcmin=most,
        steady_arcmin=CHANGED * most,
        probability=0.95,
    )


def _eyepiece_words(
    at_hand: Sequence[Field], is_in: Field | None, most_arcmin: float, chance_in: Callable[[float], float]
) -> str:
    """Which eyepiece holds the go-tos: the one that is in, else the narrowest; else what the widest holds of them."""
    fields = sorted({*at_hand, *([is_in] if is_in else [])})
    if not fields:
        return ""
    if is_in and is_in[0] >= 2.0 * most_arcmin:
        return f": {is_in[1]}, which is in, holds them"
    for field, name in fields:
        if field >= 2.0 * most_arcmin:
            return f": {name} holds them"
    field, name = fields[-1]
    return f": the widest eyepiece, {name}, holds {chance_words(chance_in(field))}"


def _fields(session: Session, at: Situation, memory: LiveMemory) -> tuple[Sequence[Field], Field | None]:
    """The eyepieces at hand, and the one that is in, by their true fields."""
    where, tube = at.where, tube_in_use(session, at.where)
    if tube is None:
        return [], None
    key = at.hour, tube.id, where.setup.member_id
    if key not in memory.fields:
        memory.fields[key] = fields_at_hand(
            session,
            Outing(site=where.site.id, mount=where.mount.id, tube=tube, member=where.setup.member_id),
        )
    eyepiece = session.get(Eyepiece, where.setup.eyepiece_id) if where.setup.eyepiece_id else None
    field = true_field_arcmin(tube, eyepiece) if eyepiece else None
    return memory.fields[key], (field, eyepiece.name) if eyepiece and field is not None else None


def _size(arcmin: float) -> str:
    """A radius for a cold reader: 6', or 1.4° where it is large."""
    return f"{arcmin:.0f}'" if arcmin < 90.0 else f"{arcmin / 60.0:.1f}°"
