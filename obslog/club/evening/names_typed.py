"""Names within a line: of what is on record, of steps, by any beginning of one of their words that only one has."""

from collections.abc import Callable, Mapping, Sequence

from obslog.club.routine.club_steps import Steps, no_such_step
from obslog.errors import UnknownName, WrongInput
from obslog.grammar.name_choice import SeveralNamesFit, fitting_names
from obslog.records.database import Database
from obslog.records.name_lookup import names, table_of
from obslog.records.tables.base import name_key
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.observations import NO_ONE, says_none
from obslog.vocabulary.steps import Step, StepKey

_FILLING = ("with", "and", "by", "on", "at")


class OneTooMany(WrongInput):
    def __init__(self, typed: str) -> None:
        super().__init__(f"Not expected here: {typed}", "Name each of them once.")


class NothingIsNone(WrongInput):
    """`none` where all that could be none is named, or nothing may be."""

    def __init__(self) -> None:
        super().__init__("Not expected here: none", "Leave it out.")


class NoBattery(WrongInput):
    def __init__(self) -> None:
        super().__init__("No battery is on record.", "Put the volts with the step: tick power 12.6 12.1")


def step_meant(typed: str, mount_type: MountType | None, steps: Steps) -> StepKey:
    """The step of that name, or whose name, or title in the checklist, has a word that begins so.

    Raises UnknownName, SeveralNamesFit.
    """
    begun = typed.casefold()
    if begun in steps.known:
        return begun
    fitting = [
        step for step in steps.known if any(part.startswith(begun) for part in (step, *step.split("-")))
    ]
    if not fitting:
        titles = {guide.step: guide.title for guide in steps.to_learn_from(mount_type)}
        if Step.POWER in titles:
            titles[Step.POWER] += " battery"
        fitting = [
            step
            for step, title in titles.items()
            if any(w.startswith(begun) for w in title.casefold().split())
        ]
    if len(fitting) > 1:
        raise SeveralNamesFit(typed, fitting)
    if not fitting:
        raise no_such_step(typed, steps.known)
    return fitting[0]


def battery_meant(database: Database, typed: str) -> str:
    """The battery of that name; where none is named, the club's only one.

    Raises NoBattery, UnknownName, SeveralNamesFit.
    """
    from sqlalchemy import func, select

    from obslog.records.tables.logbook_tables import Item

    with database.read() as session:
        query = select(Item.name).where(func.lower(Item.sort) == "battery", Item.retired_on.is_(None))
        batteries = list(session.scalars(query.order_by(Item.name)))
    fitting = fitting_names(typed, batteries) if typed else batteries
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise SeveralNamesFit(typed or "battery", fitting)
    if not batteries:
        raise NoBattery
    raise UnknownName(
        "battery", typed, batteries, see="A battery is an item of the category battery: obslog item add"
    )


def names_in(
    database: Database,
    words: Sequence[str],
    kinds: Sequence[str],
    *,
    many: str | None = None,
    may_be_none: Sequence[str] = (),
) -> dict[str, list[str]]:
    """The names that stand behind one another in the words, each the longest that fits, by kind.

    A kind is named once, that of `many` as often as it is. Each `none` is for the first kind of `may_be_none` that
    nothing is named of, and stands in place of its name.
    Raises UnknownName, SeveralNamesFit, OneTooMany, NothingIsNone.
    """
    with database.read() as session:
        known = {kind: list(names(session, table_of(kind))) for kind in kinds}
    parts = [word.strip(",") for word in words]
    found: dict[str, list[str]] = {}
    place = nones = 0
    while place < len(parts):
        if not parts[place] or parts[place].casefold() in _FILLING:
            place += 1
            continue
        if may_be_none and says_none(parts[place]):
            nones, place = nones + 1, place + 1
            continue
        left = {kind: known[kind] for kind in kinds if kind == many or kind not in found}
        place, kind, name = _longest(words, parts, place, left)
        found.setdefault(kind, []).append(name)
    unnamed = [kind for kind in may_be_none if kind not in found]
    if nones > len(unnamed):
        raise NothingIsNone
    return found | {kind: [NO_ONE] for kind in unnamed[:nones]}


def _longest(
    words: Sequence[str], parts: Sequence[str], place: int, known: Mapping[str, Sequence[str]]
) -> tuple[int, str, str]:
    """Where the longest name ends that begins at a place, its kind, and the whole name."""
    ways: tuple[Callable[[str, Sequence[str]], list[str]], ...] = (_exact, fitting_names)
    for way in ways:
        for end in range(len(parts), place, -1):
            if any(word.endswith(",") for word in words[place : end - 1]):
                continue
            typed = " ".join(parts[place:end])
            fitting = [(kind, name) for kind, given in known.items() for name in way(typed, given)]
            if len(fitting) == 1:
                return end, *fitting[0]
            if fitting:
                raise SeveralNamesFit(typed, [name for _, name in fitting])
    if not known:
        raise OneTooMany(parts[place])
    kind = "mount" if "mount" in known else next(iter(known))
    every = [name for given in known.values() for name in given]
    raise UnknownName(kind, parts[place], every)


def _exact(typed: str, known: Sequence[str]) -> list[str]:
    return [name for name in known if name_key(name) == name_key(typed)]
