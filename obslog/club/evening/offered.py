"""What a half-typed line may become: verbs, names in the sky and on record, where something stood, steps."""

from collections.abc import Iterable
from functools import cache

from obslog.club.evening import verbs as v
from obslog.club.evening.verbs import VERBS, Verb
from obslog.errors import ObslogError
from obslog.grammar.lines import read_line, read_verb
from obslog.grammar.name_choice import begins_a_word
from obslog.records.name_lookup import names, table_of
from obslog.records.opening import Database
from obslog.records.tables.base import name_key
from obslog.vocabulary import Landing, PierSide, SkyScale, Step

ON_RECORD = (v.SITE, v.MOUNT, v.TUBE, v.EYEPIECE, v.MEMBER, v.BATTERY)
MOST = 60


def offered(database: Database, begun: str) -> list[tuple[str, int]]:
    """What may stand at the end of the line, each with how many of its last signs it takes the place of."""
    words = begun.split(" ")
    place = 0
    if len(words) > 1 and _is_time(words[0]):
        place = 1
    if len(words) - place <= 1:
        typed = words[place] if len(words) > place else ""
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
    plain = [word for word in _words(verb, at_start=at_start) if word.startswith(begun)]
    if v.STAR in verb.takes and at_start and typed:
        plain += _in_sky(typed)
    kinds = [kind for kind in verb.takes if kind in ON_RECORD]
    if kinds:
        plain += [name for name in _on_record(database, kinds) if begins_a_word(typed, name)]
    return plain


def _words(verb: Verb, *, at_start: bool) -> list[str]:
    """The words that this verb alone has, and those of a list."""
    words = list(verb.words)
    if at_start:
        words += list(Step) if v.STEP in verb.takes else []
        words += list(SkyScale) if v.SCALE in verb.takes else []
        words += list(PierSide) if v.SIDE in verb.takes else []
        words += list(VERBS) if v.VERB in verb.takes else []
    elif v.WHERE in verb.takes:
        words += [*Landing, "pe", "pw"]
    return words


def _on_record(database: Database, kinds: list[str]) -> list[str]:
    try:
        with database.read() as session:
            return [name for kind in kinds for name in names(session, table_of(kind))]
    except ObslogError:
        return []


def _in_sky(typed: str) -> list[str]:
    begun = _squeezed(typed)
    return [name for key, name in _sky_names() if key.startswith(begun)]


@cache
def _sky_names() -> tuple[tuple[str, str], ...]:
    """Bodies, named stars, and objects by the names that people use, Messier's first."""
    from obslog.sky.names.deepsky_names import common_names
    from obslog.sky.names.solar_system import Body
    from obslog.sky.names.stars import all_stars

    stars = sorted(star.name for star in all_stars() if star.is_named)
    messier = [f"M {number}" for number in range(1, 111)]
    found = dict.fromkeys([*Body, *stars, *messier, *sorted(name for name, _ in common_names())])
    return tuple((_squeezed(name), str(name)) for name in found)


def _squeezed(name: str) -> str:
    return name_key(name).replace(" ", "")


def _is_time(word: str) -> bool:
    try:
        return read_line(f"{word} x", ("x",)).at is not None
    except ObslogError:
        return False
