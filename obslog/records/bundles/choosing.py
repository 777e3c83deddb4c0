"""What is new of the log: since a day, or not told yet."""

from collections.abc import Collection
from datetime import date

from sqlalchemy import Text, cast, insert, select
from sqlalchemy.orm import Session

from obslog.records.bundles.telling import AT_HOME, SITE, Choice, private_sites
from obslog.records.bundles.whole_records import with_people_named, with_undone
from obslog.records.history.batches import unpacked_keys
from obslog.records.merging.row_images import by_many
from obslog.records.tables.column_types import key_of
from obslog.records.tables.kept import told_acts
from obslog.records.tables.logbook import Act, Change, ChangeBatch


def choose_since(session: Session, day: date, *, with_private: bool) -> Choice:
    """The acts from the beginning of that day on, by UTC."""
    query = select(cast(Act.id, Text), Act.at_utc)
    return _of_acts(session, {key for key, at in session.execute(query) if at.date() >= day}, with_private)


def choose_untold(session: Session, *, with_private: bool) -> Choice:
    """The acts that no bundle written here has told yet; with what is private, all that tell of that.

    Of an act that was told without it nothing says so.
    """
    query = select(cast(Act.id, Text)).where(Act.id.not_in(select(told_acts.c.id)))
    acts = set(session.scalars(query))
    if with_private:
        acts |= _that_tell_private(session)
    return _of_acts(session, acts, with_private)


def _that_tell_private(session: Session) -> set[str]:
    """The acts of which a bundle without what is private holds nothing, or only a part."""
    sites = private_sites(session)
    query = select(cast(Change.act_id, Text), cast(Change.record_id, Text), Change.record_kind)
    singly = query.where(Change.record_kind.in_([*AT_HOME, SITE]))
    acts = {act for act, key, kind in session.execute(singly) if kind in AT_HOME or key in sites}
    together = select(cast(ChangeBatch.act_id, Text), ChangeBatch.record_ids, ChangeBatch.record_kind)
    for act, packed, kind in session.execute(together.where(ChangeBatch.record_kind.in_([*AT_HOME, SITE]))):
        if kind in AT_HOME or not sites.isdisjoint(unpacked_keys(packed)):
            acts.add(act)
    return acts


def all_acts(session: Session) -> frozenset[str]:
    return frozenset(session.scalars(select(cast(Act.id, Text))))


def mark_told(session: Session, acts: Collection[str]) -> None:
    """Remember that these acts have been told."""
    untold = select(Act.id).where(Act.id.not_in(select(told_acts.c.id)))
    for some in by_many(sorted(acts)):
        chosen = untold.where(Act.id.in_([key_of(one) for one in some]))
        session.execute(insert(told_acts).from_select(["id"], chosen))


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
        acts=frozenset(with_undone(session, acts)),
        changes=frozenset(changes),
        batches=frozenset(batches),
        with_private=with_private,
        whole_acts=frozenset(acts),
    )
    return with_people_named(session, choice)
