"""Moving a club to a server, or back into a file: every record compared, and then the answers of the main commands."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from obslog.club.night.night_pages import list_nights
from obslog.club.over_time.landing_history import mount_history
from obslog.club.performance.mount_fit import fit_mount
from obslog.club.register.named_records import listed
from obslog.club.review.review import review
from obslog.club.storeroom.store_list import store_list
from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.moving.move import MovedTable, Tell, held_still, move_records
from obslog.records.moving.target import target_of_move
from obslog.records.opening import Say


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedClub:
    """A club in its new place: each table, and how many answers were compared and came out the same."""

    database: str
    left_at: str
    tables: list[MovedTable]
    rows: int
    answers_compared: int


class AnswersDiffer(ObslogError):
    def __init__(self, where: str, questions: list[str]) -> None:
        super().__init__(
            f"Every record is in {where}, but these answers are not the same there: {', '.join(questions)}.",
            "The old database was not touched; use it on. Report this to the developers.",
        )


def move_club(database: Database, target: str, now: datetime, say: Say, tell: Tell) -> MovedClub:
    """Copy all records to `target`, an empty database or a new file, and ask both the same questions.

    The old database is not changed, and nobody can write to it meanwhile. A move that was broken off goes on where it
    stopped. Raises what target_of_move and move_records raise, and AnswersDiffer.
    """
    engine, where = target_of_move(target, database.engine, now, say)
    try:
        with held_still(database.engine) as source:
            moved = move_records(source, engine, where, tell)
            compared, differing = _compared(database, Database(engine, where), now)
    finally:
        engine.dispose()
    if differing:
        raise AnswersDiffer(where, differing)
    return MovedClub(
        database=where,
        left_at=database.where,
        tables=moved,
        rows=sum(table.rows for table in moved),
        answers_compared=compared,
    )


def _compared(old: Database, new: Database, now: datetime) -> tuple[int, list[str]]:
    """How many questions were asked of both, and which of them had two answers."""
    differing, asked = [], 0
    with old.one_look() as there, new.one_look() as here:
        for question, ask in _questions(there, now):
            asked += 1
            if _answer(ask, there) != _answer(ask, here):
                differing.append(question)
    return asked, differing


def _questions(database: Database, now: datetime) -> Iterator[tuple[str, Callable[[Database], object]]]:
    """What is asked, and how: the lists, the review, and of each mount its fit and its set-ups."""
    yield "night list", lambda one: list_nights(one)
    yield "store list", lambda one: store_list(one, with_retired=True, with_names=True)
    for kind in ("site", "member", "mount"):
        yield f"{kind} list", lambda one, kind=kind: listed(one, kind, with_retired=True)  # type: ignore[misc]
    yield "review", lambda one: review(one, now.date())
    for mount in listed(database, "mount"):
        name = mount["name"]
        yield f"pointing fit {name}", lambda one, name=name: fit_mount(one, name)  # type: ignore[misc]
        yield f"pointing trend {name}", lambda one, name=name: mount_history(one, name)  # type: ignore[misc]


def _answer(ask: Callable[[Database], object], database: Database) -> str:
    """An answer as it can be compared, or the sentence with which it is refused."""
    try:
        return repr(ask(database))
    except ObslogError as error:
        return str(error)
