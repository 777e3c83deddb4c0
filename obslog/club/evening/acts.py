"""A line of the evening done: read, carried out through the club's own acts, answered.

What changes the records is on disk when the answer is given.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import partial
from typing import Any

from obslog.club.evening import gear_lines, looking_lines, pointing_lines, tending_lines
from obslog.club.evening.asked import Answer, Asked, NothingMore, NoTimeHere, PromptSettings, SetupEnded
from obslog.club.evening.no_verb import line_instead
from obslog.club.evening.standing import EveningStanding, standing
from obslog.club.evening.verbs import ALSO_SAID, VERBS
from obslog.club.night.plausibility import Doubtful
from obslog.club.register.undo import redo, undo
from obslog.club.register.usual_choices import Me
from obslog.grammar.lines import Line, UnknownVerb, read_line
from obslog.records.database import Database
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.observations import Sighting

Act = Callable[[Asked], Any]
TAKES_A_TIME = frozenset(
    {
        "sync", "check", "goto", "saw", "suspected", "not-seen", "snag", "edit", "tick", "where", "when", "brief",
        "checklist", "pole", "targets", "night", "setup", "pier", "flip", "sky",
    }
)  # fmt: skip
OF_A_SETUP = frozenset(
    {
        "sync",
        "check",
        "goto",
        "saw",
        "suspected",
        "not-seen",
        "snag",
        "edit",
        "tick",
        "eyepiece",
        "pier",
        "flip",
    }
)
WITHOUT_TEXT = frozenset({"battery", "sky", "help", "undo", "history"})
ALONE = frozenset({"redo", "flip", "next", "list", "brief", "pole", "quit"})
ACTS: dict[str, Act] = {
    **{role.value: partial(pointing_lines.arrive, role=role) for role in Role},
    "saw": tending_lines.saw,
    "suspected": lambda asked: tending_lines.saw(asked, Sighting.SUSPECTED),
    "not-seen": lambda asked: tending_lines.saw(asked, Sighting.NOT_SEEN),
    "snag": tending_lines.snag,
    "edit": lambda asked: (
        tending_lines.correct_seen(asked)
        if asked.line.words[:1] and asked.line.words[0].casefold() == "saw"
        else pointing_lines.correct(asked)
    ),
    "undo": lambda asked: {"undone": undo(asked.database, asked.now, _reference(asked.line))},
    "history": looking_lines.history,
    "redo": lambda asked: {"redone": redo(asked.database, asked.now)},
    "pier": gear_lines.pier,
    "flip": gear_lines.flip,
    "tick": tending_lines.tick,
    "battery": tending_lines.battery,
    "sky": tending_lines.sky,
    "note": tending_lines.note,
    "help": looking_lines.helped,
    "eyepiece": gear_lines.eyepiece,
    "quit": lambda _asked: None,
}
LOOKING: dict[str, Callable[[Asked], looking_lines.Shown]] = {
    "next": looking_lines.next_step,
    "where": looking_lines.where,
    "when": looking_lines.when,
    "list": looking_lines.listed,
    "brief": looking_lines.brief,
    "checklist": looking_lines.checklist,
    "pole": looking_lines.pole,
    "targets": looking_lines.targets,
}
"""These give what a screen needs beside the value."""
SETTING: dict[str, Callable[[Asked], tuple[object, PromptSettings]]] = {
    "night": gear_lines.night,
    "setup": gear_lines.setup,
    "stocktake": gear_lines.stocktake,
    "quiet": gear_lines.quiet,
}
"""These change what holds for the lines that follow."""


def nobody() -> None:
    """Who types here, where nobody has said so."""


def take_line(
    database: Database,
    typed: str,
    settings: PromptSettings,
    now: datetime,
    *,
    sure: bool = False,
    agreed_to: Doubtful | None = None,
    target: str | None = None,
    me: Me = nobody,
) -> Answer:
    """Do what a line says. `sure` takes what is questioned, `agreed_to` is the question to which somebody said yes,
    `target` stands for the name that was written.

    Raises EmptyLine, UnknownVerb, UnknownTarget, Doubtful, and whatever its act does; then nothing is kept.
    """
    here = standing(database, settings.mount, settings.site)
    if settings.counting and not here.stocktake:  # it was finished elsewhere
        settings = replace(settings, counting=False, place=None)
    line = _counted(typed) if settings.counting else None
    line = line or _read(typed)
    _check(line)
    _check_setup(line, settings, here)
    asked = Asked(
        database=database,
        line=line,
        now=now,
        settings=settings,
        standing=here,
        me=me,
        target=target,
        sure=sure or agreed_to is not None or line.sure,
        agreed_to=agreed_to,
    )
    beside: object = None
    if line.verb in LOOKING:
        value, beside = LOOKING[line.verb](asked)
    elif line.verb in SETTING:
        value, settings = SETTING[line.verb](asked)
    else:
        value = ACTS[line.verb](asked)
    return Answer(
        verb=line.verb, value=value, settings=settings, beside=beside, taken=tuple(dict.fromkeys(asked.taken))
    )


def _counted(typed: str) -> Line | None:
    """The line of one who counts, as a line of the stocktake; None for one that is a line like any other."""
    from obslog.club.shelves.typed_lines import words_while_counting

    words = words_while_counting(typed)
    return Line(verb="stocktake", words=words) if words else None


def _read(typed: str) -> Line:
    try:
        return read_line(typed, tuple(VERBS), ALSO_SAID)
    except UnknownVerb as error:
        error.hint = line_instead(typed, error) or error.hint
        raise


def _check(line: Line) -> None:
    if line.at is not None and line.verb not in TAKES_A_TIME:
        raise NoTimeHere(line.verb)
    if line.verb in ALONE and (line.words or line.text):
        raise NothingMore(line.verb, line.words, VERBS[line.verb].written)
    if line.text and (line.verb in WITHOUT_TEXT or _shows_or_removes(line)):
        raise NothingMore(line.verb, (*line.words, ";", line.text), VERBS[line.verb].written)


def _reference(line: Line) -> str | None:
    """The act that is to be taken back; None for the last."""
    if len(line.words) > 1:
        raise NothingMore(line.verb, line.words, VERBS[line.verb].written)
    return line.words[0] if line.words else None


def _shows_or_removes(line: Line) -> bool:
    """Whether a line does what needs no words of anybody's: behind its semicolon they would be lost."""
    words = [word.casefold() for word in line.words]
    if line.verb == "edit":
        return words[-1:] == ["remove"]
    if line.verb == "setup":
        return not (words and "start".startswith(words[0]))
    return line.verb == "night" and words in ([], ["show"])


def _check_setup(line: Line, settings: PromptSettings, here: EveningStanding) -> None:
    if line.verb in OF_A_SETUP and settings.mount is not None and here.several:
        raise SetupEnded(settings.mount, here.several)
