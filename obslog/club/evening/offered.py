"""What a half-typed line may become: verbs, names in the sky and on record, where something stood, steps."""

from collections.abc import Iterable

from obslog.club.evening.verbs import VERBS, Takes, Verb
from obslog.club.register.names_on_record import names_to_offer, tags_and_kits_to_offer
from obslog.club.routine.club_steps import read_steps
from obslog.errors import ObslogError
from obslog.grammar.lines import read_line, read_verb
from obslog.grammar.name_choice import begins_a_word
from obslog.records.database import Database
from obslog.sky.names.begun import names_beginning
from obslog.vocabulary.arrivals import Landing
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.sky_scales import SkyScale

_STOCKTAKE = "stocktake"
_ON_RECORD = (Takes.SITE, Takes.MOUNT, Takes.TUBE, Takes.EYEPIECE, Takes.MEMBER, Takes.BATTERY)
MOST = 60


def offered(database: Database, begun: str, *, counting: bool = False) -> list[tuple[str, int]]:
    """What may stand at the end of the line, each with how many of its last signs it takes the place of.

    While tags are `counting` lines by themselves, these are offered from the first sign on.
    """
    if counting and begun.split(" ")[0].casefold() != _STOCKTAKE:
        return list(dict.fromkeys(_behind(database, VERBS[_STOCKTAKE], begun)))[:MOST]
    words = begun.split(" ")
    place = 1 if len(words) > 1 and _is_time(words[0]) else 0
    if len(words) == place + 1:
        typed = words[place]
        return [(f"{name} ", len(typed)) for name in VERBS if name.startswith(typed.casefold())]
    try:
        verb = VERBS[read_verb(words[place], tuple(VERBS))]
    except ObslogError:
        return []
    if ";" in begun:
        return []
    return list(dict.fromkeys(_behind(database, verb, " ".join(words[place + 1 :]))))[:MOST]


def _behind(database: Database, verb: Verb, rest: str) -> Iterable[tuple[str, int]]:
    """What may stand behind a verb: the longest end of what is typed that begins something counts."""
    starts = [0, *(place + 1 for place, sign in enumerate(rest) if sign in " ,")]
    for start in starts:
        typed = rest[start:]
        if typed.startswith(" "):
            continue
        found = _known(database, verb, typed, at_start=start == 0)
        if found:
            yield from ((name, len(typed)) for name in found)
            return


def _known(database: Database, verb: Verb, typed: str, *, at_start: bool) -> list[str]:
    begun = typed.casefold()
    plain = [word for word in _words(database, verb, at_start=at_start) if word.startswith(begun)]
    if Takes.STAR in verb.takes and at_start and typed:
        plain += names_beginning(typed)
    if Takes.TAG in verb.takes:
        plain += [text for text in tags_and_kits_to_offer(database) if text.casefold().startswith(begun)]
    kinds = [kind for kind in verb.takes if kind in _ON_RECORD]
    if kinds:
        plain += [name for name in names_to_offer(database, kinds) if begins_a_word(typed, name)]
    return plain


def _words(database: Database, verb: Verb, *, at_start: bool) -> list[str]:
    """The words that this verb alone has, and those of a list."""
    words = list(verb.words)
    if at_start:
        words += read_steps(database).keys if Takes.STEP in verb.takes else []
        words += list(SkyScale) if Takes.SCALE in verb.takes else []
        words += list(PierSide) if Takes.SIDE in verb.takes else []
        words += list(VERBS) if Takes.VERB in verb.takes else []
    elif Takes.WHERE in verb.takes:
        words += [*Landing, "pe", "pw"]
    return words


def _is_time(word: str) -> bool:
    try:
        return read_line(f"{word} x", ("x",)).at is not None
    except ObslogError:
        return False
