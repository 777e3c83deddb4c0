"""Lines about arrivals: sync, check, goto, the correction of one, and what is taken back."""

from collections.abc import Sequence
from dataclasses import replace

from obslog.club.evening.asked import Asked, UnknownTarget
from obslog.club.night.arrival_corrections import RemovedArrival, edit_arrival, remove_arrival
from obslog.club.night.arrivals import ArrivalEntry, RecordedArrival, record_arrival, split_words
from obslog.club.night.target_names import Target, target_named
from obslog.errors import WrongInput
from obslog.offsets import OffsetOrLanding, UnreadableOffset, read_offset_or_landing
from obslog.vocabulary import PierSide, Role

_SIDES = {
    "pw": PierSide.WEST,
    "pe": PierSide.EAST,
    "pier west": PierSide.WEST,
    "pier east": PierSide.EAST,
}


class NoTarget(WrongInput):
    def __init__(self, verb: str) -> None:
        super().__init__(
            f"Which star or object? Nothing stands behind {verb}.", f"Write it like: {verb} vega 3E 2N"
        )


def arrive(asked: Asked, role: Role) -> RecordedArrival:
    """Put an arrival on record; the side of the pier is the line's, else the one that was set for what follows."""
    entry = _entry(asked, asked.line.words)
    if entry.target is None:
        raise NoTarget(asked.line.verb)
    entry = replace(entry, pier_side=entry.pier_side or asked.settings.pier)
    return record_arrival(asked.database, role, entry, asked.setup, asked.now, sure=asked.sure)


def correct(asked: Asked) -> RecordedArrival | RemovedArrival:
    """`edit 3 3W 2N`: the arrival of that number, or the last one that was typed in, corrected or removed."""
    words = list(asked.line.words)
    number = int(words.pop(0)) if words and words[0].isdecimal() else None
    if [word.casefold() for word in words] == ["remove"]:
        return remove_arrival(asked.database, number, asked.setup_tonight, asked.now)
    role = Role(words.pop(0).casefold()) if words and words[0].casefold() in list(Role) else None
    entry = replace(_entry(asked, words), role=role)
    return edit_arrival(asked.database, number, entry, asked.setup_tonight, asked.now, sure=asked.sure)


def known_target(asked: Asked, text: str, *, keeps: bool = True) -> Target:
    """The target that is meant. Raises UnknownTarget, unless the line is sure and the name can be kept as written."""
    target = target_named(asked.target or text)
    if not target.known and not (keeps and asked.sure):
        raise UnknownTarget(target.name, target.nearest, keeps=keeps)
    return target


def _entry(asked: Asked, words: Sequence[str]) -> ArrivalEntry:
    """What a line says of an arrival: star, where it stood, side of the pier, note; a place may stand alone."""
    words, side = _without_side(words)
    target, where = None, _place_alone(words)
    if words and where is None:
        text, where = split_words(words)
        target = known_target(asked, text).name
    return ArrivalEntry(target=target, where=where, at=asked.line.at, pier_side=side, note=asked.line.text)


def _place_alone(words: Sequence[str]) -> OffsetOrLanding | None:
    """Where something stood, if the words say nothing else."""
    try:
        return read_offset_or_landing(" ".join(words))
    except UnreadableOffset:
        return None


def _without_side(words: Sequence[str]) -> tuple[list[str], PierSide | None]:
    """The words before the side of the pier that stands last: `pw`, `pier west`."""
    for count in (1, 2):
        last = " ".join(words[-count:]).casefold()
        if last in _SIDES and len(words) >= count:
            return list(words[:-count]), _SIDES[last]
    return list(words), None
