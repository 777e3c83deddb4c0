"""What two laptops wrote in one field without having seen each other: derived from the log, nothing of it is stored."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Text, cast, func, select
from sqlalchemy.orm import Session

from obslog.records.history.folding import (
    BEFORE_ALL,
    TOGETHER,
    Image,
    LogChange,
    Overwritten,
    Seen,
    fold,
)
from obslog.records.merging import obstacles
from obslog.records.merging.kinds import kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import rows_of
from obslog.records.merging.same_aliases import Aliases, read_aliases
from obslog.records.merging.standing import second_names
from obslog.records.nameless import NAMES, NEUTRAL
from obslog.records.tables.logbook import Act, Change

REFERENCE_LENGTH = 6
_OF_EACH = frozenset({"id", "site_id", "night_of", "started_utc", "ended_utc", "open"})
"""Of records that say the same: what each has of its own, or what makes them the same, contradicts nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Disagreement:
    """A value that gave way, what stands in its place, and the image of the record in which the other was written."""

    reference: str
    lost: Overwritten
    image: Image
    fields: tuple[str, ...]


def disagreements(session: Session) -> list[Disagreement]:
    """All that are not settled yet, those first that were written last."""
    aliases = read_aliases(session)
    reader = LogReader(session=session, rows_now=lambda kind, ids: rows_of(session, kinds()[kind], ids))
    taking_back = _taking_back(session)
    found: list[Disagreement] = []
    for kind, ids in _written_twice(session).items():
        said_again = obstacles.said_again_by(session, ids)
        others = {other for several in said_again.values() for other in several}
        entries = reader.entries(kind, ids | others)
        for record_id in ids - (others - ids):
            together = said_again.get(record_id, set())
            of_it = [entry for one in (record_id, *sorted(together)) for entry in entries.get(one, ())]
            state = fold(
                of_it,
                joined_by=aliases.joining_acts(session, record_id),
                as_one=bool(together),
                seen=_seen(kind, record_id, aliases),
                taking_back=taking_back,
            )
            same = _OF_EACH | kinds()[kind].first_says | kinds()[kind].makes_one if together else frozenset()
            found += _told((one for one in state.overwritten if one.field not in same), of_it)
    return sorted(
        found, key=lambda one: (one.lost.stands_act, one.lost.lost_act, one.reference), reverse=True
    )


def _taking_back(session: Session) -> dict[str, str]:
    """Of each act that takes one back, or does it again, which."""
    query = select(cast(Act.id, Text), cast(Act.undoes_id, Text)).where(Act.undoes_id.is_not(None))
    return {str(act_id): str(undone) for act_id, undone in session.execute(query)}


def _written_twice(session: Session) -> dict[str, set[str]]:
    query = (
        select(Change.record_kind, cast(Change.record_id, Text))
        .group_by(Change.record_kind, Change.record_id)
        .having(func.count() > 1)
    )
    found: dict[str, set[str]] = {}
    for kind, record_id in session.execute(query):
        if kind in kinds():
            found.setdefault(kind, set()).add(record_id)
    for kind, record_id, aside in obstacles.all_asides(session):
        if aside.why.value == "same" and aside.against is not None:
            found.setdefault(kind, set()).add(aside.against)
            found[kind].discard(record_id)
    return found


def _seen(kind: str, record_id: str, aliases: Aliases) -> Seen:
    """Whether a value is the one that was found, as it stood in the row: told apart, numbered, of another name."""
    refers = kinds()[kind].refers

    def seen(field: str, before: object, current: object) -> bool:
        if before == current or field == "ordinal":
            return True
        if field in NAMES and NEUTRAL in f"{before} {current}":
            return True  # what is called after who left, and was renamed here, has another name in the log elsewhere
        if field == "name" and isinstance(current, str):
            return before in second_names(current, record_id)
        if field == "tag":
            return before is None
        if field in refers and isinstance(before, str) and isinstance(current, str):
            return aliases.stands_for(before) == aliases.stands_for(current)
        return False

    return seen


def _told(lost: Iterable[Overwritten], entries: Sequence[LogChange]) -> list[Disagreement]:
    images = {entry.act_id: entry.after for entry in entries if entry.after is not None}
    return [
        Disagreement(
            reference=_reference(one),
            lost=one,
            image=images[one.lost_act],
            fields=_together(one, images[one.lost_act]),
        )
        for one in lost
        if one.lost_act != BEFORE_ALL and one.lost_act in images
    ]


def _together(lost: Overwritten, image: Image) -> tuple[str, ...]:
    """The field, and those that say one thing with it."""
    for group in TOGETHER.get(lost.record_kind, ()):
        if lost.field in group:
            return tuple(sorted(group & image.keys()))
    return (lost.field,)


def _reference(lost: Overwritten) -> str:
    """Short to type, and the same on every laptop."""
    told = f"{lost.record_id} {lost.field} {lost.lost_act}"
    return hashlib.sha256(told.encode()).hexdigest()[:REFERENCE_LENGTH]
