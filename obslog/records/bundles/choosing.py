"""Which part of the log a bundle tells: all of it, what is new since a day or not told yet, or one night."""

from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import date

from sqlalchemy import Text, cast, insert, or_, select
from sqlalchemy.orm import Session

from obslog.records.bundles.people_named import MEMBER, people_named
from obslog.records.bundles.telling import Choice, tell
from obslog.records.history.batches import place_in, unpacked_keys
from obslog.records.merging.kinds import kinds
from obslog.records.merging.row_images import by_many, referring_ids, rows_of
from obslog.records.tables.column_types import key_of
from obslog.records.tables.kept import told_acts
from obslog.records.tables.logbook import Act, Change, ChangeBatch, SameRecord

Key = tuple[str, str]
_HANG_ON_NIGHTS = ("Night", "Setup")


def choose_since(session: Session, day: date, *, with_private: bool) -> Choice:
    """The acts from the beginning of that day on, by UTC."""
    query = select(cast(Act.id, Text), Act.at_utc)
    return _of_acts(session, {key for key, at in session.execute(query) if at.date() >= day}, with_private)


def choose_untold(session: Session, *, with_private: bool) -> Choice:
    """The acts that no bundle written here has told yet."""
    query = select(cast(Act.id, Text)).where(Act.id.not_in(select(told_acts.c.id)))
    return _of_acts(session, set(session.scalars(query)), with_private)


def mark_told(session: Session, acts: Collection[str] | None = None) -> None:
    """Remember that these acts have been told; None is all on record."""
    untold = select(Act.id).where(Act.id.not_in(select(told_acts.c.id)))
    if acts is None:
        session.execute(insert(told_acts).from_select(["id"], untold))
        return
    for some in by_many(sorted(acts)):
        chosen = untold.where(Act.id.in_([key_of(one) for one in some]))
        session.execute(insert(told_acts).from_select(["id"], chosen))


def choose_night(session: Session, night_id: str, *, with_private: bool) -> Choice:
    """All that is on record of a night, and of whatever this refers to."""
    found = _with_what_hangs_on(session, {("Night", night_id)})
    while True:
        found = _with_targets(session, found)
        batches = _batches_of(session, found)
        whole = {(kind, key) for kind, packed in batches.values() for key in unpacked_keys(packed)}
        if whole <= found:
            break
        found |= whole
    return _with_people_named(session, _all_of(session, found, with_private))


def _with_people_named(session: Session, choice: Choice) -> Choice:
    """The choice, and all that is on record of the members who are named in it, and so on."""
    named: set[str] = set()
    while fresh := people_named(session, tell(session, choice)) - named:
        named |= fresh
        more = _all_of(
            session, {(MEMBER, key) for key in named} | _said_to_be(session, named), choice.with_private
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


def _all_of(session: Session, found: set[Key], with_private: bool) -> Choice:
    """All that is in the log of these records."""
    batches = _batches_of(session, found)
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
        acts=frozenset(_with_undone(session, acts)),
        changes=frozenset(changes),
        batches=frozenset(batches),
        with_private=with_private,
    )


def _of_acts(session: Session, acts: set[str], with_private: bool) -> Choice:
    changes: set[str] = set()
    batches: set[str] = set()
    for some in by_many(sorted(acts)):
        keys = [key_of(one) for one in some]
        changes |= set(session.scalars(select(cast(Change.id, Text)).where(Change.act_id.in_(keys))))
        batches |= set(
            session.scalars(select(cast(ChangeBatch.id, Text)).where(ChangeBatch.act_id.in_(keys)))
        )
    choice = Choice(
        acts=frozenset(_with_undone(session, acts)),
        changes=frozenset(changes),
        batches=frozenset(batches),
        with_private=with_private,
        whole_acts=frozenset(acts),
    )
    return _with_people_named(session, choice)


def _with_undone(session: Session, acts: set[str]) -> set[str]:
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


def _with_what_hangs_on(session: Session, found: set[Key]) -> set[Key]:
    for name in _HANG_ON_NIGHTS:
        ids = {record_id for kind, record_id in found if kind == name}
        found = found | referring_ids(session, kinds()[name], ids)
    return found


def _with_targets(session: Session, found: set[Key]) -> set[Key]:
    """The records, and all that they refer to, and so on."""
    found = set(found)
    fresh = set(found)
    while fresh:
        targets: set[Key] = set()
        for name, kind in kinds().items():
            ids = {record_id for one, record_id in fresh if one == name}
            for row in rows_of(session, kind, ids).values() if ids else ():
                for column, among in kind.refers.items():
                    if row[column] is not None:
                        targets |= {(other, row[column]) for other in among}
        fresh = (targets | _said_to_be(session, {key for _kind, key in targets})) - found
        found |= fresh
    return found


def _said_to_be(session: Session, ids: Iterable[str]) -> set[Key]:
    """The records by which these were said to be one with others."""
    found: set[Key] = set()
    for some in by_many(sorted(ids)):
        keys = [key_of(one) for one in some]
        query = select(cast(SameRecord.id, Text)).where(
            or_(SameRecord.gone_id.in_(keys), SameRecord.kept_id.in_(keys))
        )
        found |= {(SameRecord.__name__, key) for key in session.scalars(query)}
    return found


def _batches_of(session: Session, found: set[Key]) -> dict[str, tuple[str, bytes]]:
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
