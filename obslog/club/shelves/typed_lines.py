"""A stocktake at the prompt: begun, ticked a line at a time as a scanner types tags, looked at and finished.

While lines are counted, each is a tag or a whole name. A few words that no tag is end that, or are said in between.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from obslog.club.night.plausibility import Doubtful
from obslog.club.shelves.count_records import Standing
from obslog.club.shelves.counting import PLACE, Started, refuse_if_none_open, saw, start
from obslog.club.shelves.finishing import Finish, finish, what_would_change
from obslog.club.shelves.seen import Seen
from obslog.club.shelves.standing import standing
from obslog.english import counted
from obslog.grammar.name_choice import fitting_names
from obslog.records.database import Database

_WHOLE_LINES = ("undo", "redo", "quit", "exit", "bye", "?")
_FIRST_WORDS = ("stocktake", "help")
_ACTS = ("start", "saw", "at", "show", "done", "finish")
_MOST_NAMED = 20


class FinishAsked(Doubtful):
    """What finishing would change, before anybody has agreed to it."""

    def __init__(self, plan: Finish) -> None:
        super().__init__(
            f"To finish: {plan.seen} of {counted(plan.expected, 'item')} seen.",
            "If all that is right, end the line with !",
        )
        self.plan = plan
        self.details = tuple(_plan_words(plan))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counting:
    """Whether lines are counted, and where the one who counts stands."""

    on: bool = False
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDone:
    """What came of a line: a record, or sentences where there is none; and how lines are read from then on."""

    value: Started | Seen | Standing | Finish | None
    said: tuple[str, ...]
    counting: Counting


def words_while_counting(typed: str) -> tuple[str, ...] | None:
    """What a line says behind the verb while lines are counted; None for one that is a line like any other."""
    words = typed.split()
    first = words[0].casefold() if words else ""
    if not words or first in _FIRST_WORDS or (len(words) == 1 and first in _WHOLE_LINES):
        return None
    if first == "at" or (first == "done" and len(words) == 1):
        return (first, *words[1:])
    return ("saw", *words)


def do_line(
    database: Database,
    words: Sequence[str],
    now: datetime,
    *,
    note: str | None,
    usual_member: Callable[[], str | None],
    sure: bool,
    agreed_to: Finish | None = None,
    counting: Counting,
) -> LineDone | None:
    """Do what the words behind the verb say; None where they say nothing.

    `usual_member` gives who counts where nobody is named, `agreed_to` is the plan that was asked about. Raises
    FinishAsked where it is not `sure`, ChangedMeanwhile where that plan holds no more, and what the acts raise.
    """
    act, rest = (_act(words[0]), " ".join(words[1:])) if words else ("", "")
    if note is not None and act != "saw":
        return None
    if act == "start":
        started = start(database, now, rest or usual_member())
        return LineDone(value=started, said=(), counting=Counting(on=True))
    if act == "saw" and rest:
        what, without = _told_apart(words[1:])
        seen = saw(database, what, now, place=counting.place, note=note, without=without)
        return LineDone(value=seen, said=(), counting=counting)
    if act == "saw":
        refuse_if_none_open(database)
        return _said("Each line is a tag or a whole name now; done ends that.", replace(counting, on=True))
    if act == "at":
        place = PLACE.checked_or_none(rest or None)
        where = f"You are at {place}." if place else "Each counts as seen where it is kept."
        return _said(where, replace(counting, place=place))
    if act == "done" and not rest:
        return _said("Lines are no longer counted.", replace(counting, on=False))
    if act == "finish" and not rest:
        return _finished(database, now, sure=sure, agreed_to=agreed_to)
    if words and (act, rest) != ("show", ""):
        return None
    return LineDone(value=standing(database), said=(), counting=counting)


def _act(typed: str) -> str:
    """The word that alone begins so, else what was typed."""
    fitting = fitting_names(typed, _ACTS)
    return fitting[0] if len(fitting) == 1 else typed


def _told_apart(words: Sequence[str]) -> tuple[str, tuple[str, ...]]:
    """The tag or name, and the parts behind `without`, between which commas stand."""
    place = next((place for place, word in enumerate(words) if word.casefold() == "without"), 0)
    if not place or place == len(words) - 1:
        return " ".join(words), ()
    parts = " ".join(words[place + 1 :]).split(",")
    return " ".join(words[:place]), tuple(part.strip() for part in parts if part.strip())


def _finished(database: Database, now: datetime, *, sure: bool, agreed_to: Finish | None) -> LineDone:
    if not sure:
        raise FinishAsked(what_would_change(database, now))
    return LineDone(value=finish(database, now, agreed_to), said=(), counting=Counting())


def _said(sentence: str, counting: Counting) -> LineDone:
    return LineDone(value=None, said=(sentence,), counting=counting)


def _plan_words(plan: Finish) -> list[str]:
    told = (
        (f"Missing from {plan.finished_on}", [*plan.goes_missing, *plan.parts_missing]),
        ("Found again", [*plan.comes_back, *plan.parts_back]),
        ("Kept elsewhere from now on", [f"{one.name} ({one.seen_at})" for one in plan.moved]),
        ("Nobody looked through", plan.kits_not_looked_at),
        ("Left to you", [*plan.against_record, *plan.not_on_record]),
    )
    return [f"{what}: {_named(names)}." for what, names in told if names]


def _named(names: Sequence[str]) -> str:
    more = len(names) - _MOST_NAMED
    return f"{', '.join(names[:_MOST_NAMED])} and {more} more" if more > 0 else ", ".join(names)
