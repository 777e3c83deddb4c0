"""What a half-typed answer of a page may become: names on record, words of a list, a line's verb and star."""

from obslog.club.paper.page import FLIP, SNAG, VERBS
from obslog.club.register.names_on_record import names_to_offer
from obslog.club.routine.club_steps import read_steps
from obslog.grammar.lines import UnknownVerb, read_verb
from obslog.grammar.name_choice import begins_a_word
from obslog.records.database import Database
from obslog.sky.names.begun import names_beginning
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.sky_scales import SkyScale

LINE, SCALE = "line", "scale"
MOST = 60
Offers = list[tuple[str, int]]


def offered_for(database: Database, kind: str | None, begun: str) -> Offers:
    """What may stand at the end of an answer of that kind, each with how many of its last signs it takes the place of.

    Of several answers with commas between them the last one is completed.
    """
    if kind is None:
        return []
    if kind == LINE:
        return _in_line(database, begun)
    typed = begun.rpartition(",")[2].lstrip()
    known = list(SkyScale) if kind == SCALE else names_to_offer(database, [kind])
    return [(name, len(typed)) for name in known if begins_a_word(typed, name)][:MOST]


def _in_line(database: Database, begun: str) -> Offers:
    """The verb behind the time, and behind it a step of a snag, or a star or object."""
    words = begun.split(" ", 2)
    if len(words) == 2:
        return [(f"{verb} ", len(words[1])) for verb in VERBS if verb.startswith(words[1].casefold())]
    if len(words) < 3 or not words[2] or ";" in begun:
        return []
    typed = words[2]
    try:
        verb = read_verb(words[1], VERBS)
    except UnknownVerb:
        return []
    if verb == SNAG:
        return [
            (f"{step} ", len(typed))
            for step in read_steps(database).keys
            if step.startswith(typed.casefold())
        ]
    if verb == FLIP:
        return [(side, len(typed)) for side in PierSide if side.startswith(typed.casefold())]
    return [(name, len(typed)) for name in names_beginning(typed)][:MOST]
