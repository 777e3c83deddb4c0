"""The Sun: half an hour before it rises, while it is up, and wherever the last arrival was near it."""

from datetime import datetime, timedelta

from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.situation import Situation
from obslog.club.night.arrivals import placed_target
from obslog.club.register.observing_site import place_of
from obslog.club.sky.solar_questions import caution_at
from obslog.english import counted
from obslog.grammar.target_names import target_named
from obslog.sky.places.quick_altitude import quick_sun_alt_deg
from obslog.times import shown_local
from obslog.values import Place
from obslog.vocabulary.cautions import Danger

WARNED_MINUTES = 30
UPPER_EDGE_DEG = -0.27
"""The refracted altitude of the Sun's centre when its upper edge shows."""
MORNING = "cap tube and finder in time, or turn them well away from it"


def sun_answers(at: Situation) -> list[LiveAnswer]:
    """The cautions that this moment and the last arrival need; none of them is ever silenced."""
    dangers: list[str] = []
    if at.on_record:
        last = at.on_record[-1]
        said = caution_at(placed_target(target_named(last.target), last), last.at_utc, at.where.site)
        dangers += [said] if said else []
    place = place_of(at.where.site)
    rises = None
    if place is not None:
        if sun_is_up(at.now, place):
            dangers += [Danger.DAYTIME] if not dangers else []
        else:
            rises = next(
                (
                    minutes
                    for minutes in range(1, WARNED_MINUTES + 1)
                    if sun_is_up(at.now + timedelta(minutes=minutes), place)
                ),
                None,
            )
    found = [LiveAnswer(kind=LiveKind.SUN, words=words, about=words) for words in map(str, dangers)]
    if rises is not None:
        clock = shown_local(at.now + timedelta(minutes=rises), at.zone)
        words = f"the Sun rises at {clock}, in {counted(rises, 'minute')}: {MORNING}"
        found.append(LiveAnswer(kind=LiveKind.SUN, words=words, about="sunrise"))
    return found


def sun_is_up(instant: datetime, place: Place) -> bool:
    """Whether its upper edge shows above a level horizon."""
    return quick_sun_alt_deg(instant, place) > UPPER_EDGE_DEG
