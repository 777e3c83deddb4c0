"""What does not stand as the log says, kept on this machine: why, and what is in the way."""

import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Text, cast, delete, insert, select
from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.merging.kinds import kinds
from obslog.records.merging.row_images import by_many
from obslog.records.merging.standing import Aside, Why
from obslog.records.tables.column_types import key_of
from obslog.records.tables.kept import parked_records, record_obstacles
from obslog.records.tables.keys import new_key

_KIND = record_obstacles.c.record_kind
_RECORD = cast(record_obstacles.c.record_id, Text)
_AGAINST = cast(record_obstacles.c.against_id, Text)


class OfAnother(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "That would also settle what a merge has set aside of another's night.",
            "Nothing was changed. An officer of the club can do it for you.",
        )


@dataclass(frozen=True, slots=True)
class Parked:
    """A record that is alive by the log and has no row: its image there, and why."""

    image: Mapping[str, Any]
    aside: Aside


def any_obstacle(session: Session) -> bool:
    return session.execute(select(record_obstacles.c.id).limit(1)).first() is not None


def hanging_on(session: Session, ids: Collection[str]) -> set[tuple[str, str]]:
    """The records in whose way one of these is, and those beside which one of these says the same."""
    found: set[tuple[str, str]] = set()
    for some in by_many(sorted(ids)):
        keys = [key_of(one) for one in some]
        behind = select(_KIND, _RECORD).where(record_obstacles.c.against_id.in_(keys))
        beside = select(_KIND, _AGAINST).where(
            record_obstacles.c.record_id.in_(keys), record_obstacles.c.why == Why.SAME.value
        )
        found |= {(kind, key) for query in (behind, beside) for kind, key in session.execute(query)}
    return found


def same_records_by_meaning(session: Session, among: Collection[str]) -> dict[str, str]:
    """Of each record of these kinds beside which another says the same: that other."""
    query = select(_RECORD, _AGAINST).where(record_obstacles.c.why == Why.SAME.value, _KIND.in_(among))
    return {str(gone): str(kept) for gone, kept in session.execute(query)}


def said_again_by(session: Session, ids: Collection[str]) -> dict[str, set[str]]:
    """For each of these records those that say the same and have no row for that."""
    found: dict[str, set[str]] = {}
    for some in by_many(sorted(ids)):
        query = select(_AGAINST, _RECORD).where(
            record_obstacles.c.against_id.in_([key_of(one) for one in some]),
            record_obstacles.c.why == Why.SAME.value,
        )
        for kept, gone in session.execute(query):
            found.setdefault(kept, set()).add(gone)
    return found


def write_obstacles(
    session: Session,
    decided: Iterable[tuple[str, str]],
    asides: Mapping[tuple[str, str], Collection[Aside]],
    parked: Mapping[tuple[str, str], Parked],
) -> None:
    """Put down what is in the way of the decided records now, where that is not what was in their way before.

    Raises OfAnother where a server lets this login take away only some of it.
    """
    keys = list(decided)
    there, waiting_there = _there(session, keys), _parked_there(session, keys)
    changed = {
        key
        for key in keys
        if there.get(key, set()) != set(asides.get(key, ())) or waiting_there.get(key) != parked.get(key)
    }
    order = {key: (kinds()[key[0]].order, key[1]) for key in changed}  # whose it is, what it is of may tell
    for some in by_many(sorted(changed, key=order.__getitem__, reverse=True)):
        ids = [key_of(record_id) for _kind, record_id in some]
        for table in (
            parked_records,
            record_obstacles,
        ):  # in this order: whose an image is, an obstacle may tell
            session.execute(delete(table).where(table.c.record_id.in_(ids)))
            if session.execute(select(table.c.id).where(table.c.record_id.in_(ids)).limit(1)).first():
                raise OfAnother
    waiting = [
        _row(key, parked[key].aside) | {"image": json.dumps(dict(parked[key].image))}
        for key in sorted(changed & parked.keys(), key=order.__getitem__)
    ]
    if waiting:
        session.execute(insert(parked_records), waiting)
    rows = [
        _row(key, aside)
        for key, several in sorted(asides.items())
        if key in changed
        for aside in dict.fromkeys(several)
    ]
    if rows:
        session.execute(insert(record_obstacles), rows)


def drop_of(session: Session, ids: Collection[str]) -> None:
    """Take out what is kept of records of which nothing is on record any more: nobody decides about them again."""
    for some in by_many(sorted(ids)):
        keys = [key_of(one) for one in some]
        for table in (parked_records, record_obstacles):
            session.execute(delete(table).where(table.c.record_id.in_(keys)))


def _row(key: tuple[str, str], aside: Aside) -> dict[str, Any]:
    kind, record_id = key
    return {
        "id": new_key(),
        "record_kind": kind,
        "record_id": key_of(record_id),
        "why": aside.why.value,
        "against_id": aside.against and key_of(aside.against),
    }


def _parked_there(session: Session, keys: Iterable[tuple[str, str]]) -> dict[tuple[str, str], Parked]:
    columns = parked_records.c
    query = select(
        columns.record_kind,
        cast(columns.record_id, Text),
        columns.image,
        columns.why,
        cast(columns.against_id, Text),
    )
    found: dict[tuple[str, str], Parked] = {}
    for some in by_many(keys):
        of_these = query.where(columns.record_id.in_([key_of(one) for _kind, one in some]))
        for kind, record_id, image, why, against in session.execute(of_these):
            found[kind, record_id] = Parked(json.loads(image), Aside(Why(why), against))
    return found


def _there(session: Session, keys: Iterable[tuple[str, str]]) -> dict[tuple[str, str], set[Aside]]:
    found: dict[tuple[str, str], set[Aside]] = {}
    query = select(_KIND, _RECORD, record_obstacles.c.why, _AGAINST)
    for some in by_many(keys):
        of_these = query.where(record_obstacles.c.record_id.in_([key_of(one) for _kind, one in some]))
        for kind, record_id, why, against in session.execute(of_these):
            found.setdefault((kind, record_id), set()).add(Aside(Why(why), against))
    return found


def parked_images(session: Session) -> list[tuple[str, str, Mapping[str, Any]]]:
    """Kind, key and image of every record that is alive by the log and has no row."""
    query = select(
        parked_records.c.record_kind, cast(parked_records.c.record_id, Text), parked_records.c.image
    )
    return [(kind, key, json.loads(image)) for kind, key, image in session.execute(query)]


def all_asides(session: Session) -> list[tuple[str, str, Aside]]:
    query = select(_KIND, _RECORD, record_obstacles.c.why, _AGAINST)
    return sorted(
        ((kind, key, Aside(Why(why), against)) for kind, key, why, against in session.execute(query)),
        key=lambda found: (found[0], found[1], found[2].why, found[2].against or ""),
    )
