"""All that is in the log of some records: what a bundle of a part tells so that others can keep it."""

from collections.abc import Iterable
from dataclasses import replace

from sqlalchemy import Text, cast, or_, select
from sqlalchemy.orm import Session

from obslog.records.bundles.people_named import MEMBER, people_named
from obslog.records.bundles.telling import Choice, tell
from obslog.records.history.batches import place_in
from obslog.records.merging.row_images import by_many
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Act, Change, ChangeBatch, SameRecord

Key = tuple[str, str]
"""The kind of a record, and its key."""


def with_people_named(session: Session, choice: Choice) -> Choice:
    """The choice, and all that is on record of the members who are named in it, and so on."""
    named: set[str] = set()
    while fresh := people_named(session, tell(session, choice)) - named:
        named |= fresh
        more = all_of(
            session,
            {(MEMBER, key) for key in named} | said_to_be(session, named),
            with_private=choice.with_private,
        )
        choice = replace(
            choice,
            acts=_both(choice.acts, more.acts),
            changes=_both(choice.changes, more.changes),
            batches=_both(choice.batches, more.batches),
        )
    return choice


def _both(some: frozenset[str] | None, others: frozenset[str] | None) -> frozenset[str]:
    return (some or frozenset()) | (others or frozenset())


def all_of(session: Session, found: set[Key], *, with_private: bool) -> Choice:
    """All that is in the log of these records."""
    batches = batches_of(session, found)
    ids = {record_id for _kind, record_id in found}
    changes: dict[str, str] = {}
    for some in by_many(sorted(ids)):
        query = select(cast(Change.id, Text), cast(Change.act_id, Text)).where(
            Change.record_id.in_([key_of(one) for one in some])
        )
        changes |= {str(key): str(act) for key, act in session.execute(query)}
    acts = set(changes.values())
    for some in by_many(sorted(batches)):
        acts |= set(
            session.scalars(
                select(cast(ChangeBatch.act_id, Text)).where(
                    ChangeBatch.id.in_([key_of(one) for one in some])
                )
            )
        )
    return Choice(
        acts=frozenset(with_undone(session, acts)),
        changes=frozenset(changes),
        batches=frozenset(batches),
        with_private=with_private,
    )


def with_undone(session: Session, acts: set[str]) -> set[str]:
    """The acts, and those that they take back: nobody could keep the one without the other."""
    query = select(cast(Act.id, Text), cast(Act.undoes_id, Text)).where(Act.undoes_id.is_not(None))
    undone = {str(key): str(target) for key, target in session.execute(query)}
    found = set(acts)
    waiting = list(acts)
    while waiting:
        target = undone.get(waiting.pop())
        if target is not None and target not in found:
            found.add(target)
            waiting.append(target)
    return found


def said_to_be(session: Session, ids: Iterable[str]) -> set[Key]:
    """The records by which these were said to be one with others."""
    found: set[Key] = set()
    for some in by_many(sorted(ids)):
        keys = [key_of(one) for one in some]
        query = select(cast(SameRecord.id, Text)).where(
            or_(SameRecord.gone_id.in_(keys), SameRecord.kept_id.in_(keys))
        )
        found |= {(SameRecord.__name__, key) for key in session.scalars(query)}
    return found


def batches_of(session: Session, found: set[Key]) -> dict[str, tuple[str, bytes]]:
    """The batches that hold one of the records: their kind and keys."""
    by_kind: dict[str, set[str]] = {}
    for kind, record_id in found:
        by_kind.setdefault(kind, set()).add(record_id)
    query = select(cast(ChangeBatch.id, Text), ChangeBatch.record_kind, ChangeBatch.record_ids)
    return {
        batch_id: (kind, packed)
        for batch_id, kind, packed in session.execute(query)
        if any(place_in(packed, one) is not None for one in by_kind.get(kind, ()))
    }
