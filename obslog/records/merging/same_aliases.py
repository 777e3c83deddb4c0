"""Records that were said to be one: which of them stands, and by which acts they were joined."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.images import Image
from obslog.records.history.recorder import note_changed
from obslog.records.history.representatives import representatives
from obslog.records.merging.obstacles import parked_images, same_records_by_meaning
from obslog.records.tables.base import Base
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Change, ChangeBatch, SameRecord


@dataclass(slots=True)
class Aliases:
    """Of each record that is another name of one, the one that stands; as the rows of `same_records` say."""

    standing: dict[str, str]
    joins: dict[str, set[str]]  # of each record that went, the rows that say so
    kind_of: dict[str, str]
    _acts: dict[str, set[str]] = field(default_factory=dict)

    def stands_for(self, record_id: str) -> str:
        return self.standing.get(record_id, record_id)

    def standing_in(self, image: Image, columns: Iterable[str]) -> dict[str, Any]:
        """What the image holds in these columns, each key of a record being that of the one that stands."""
        told = {name: image.get(name) for name in columns}
        return {name: self.standing.get(str(value), value) for name, value in told.items()}

    def joining_acts(self, session: Session, record_id: str) -> Collection[str]:
        """The acts that made the record another name: that they removed it is no removal."""
        if record_id not in self.joins:
            return ()
        if record_id not in self._acts:
            rows = [key_of(one) for one in self.joins[record_id]]
            single = select(cast(Change.act_id, Text)).where(
                Change.record_kind == SameRecord.__name__,
                Change.record_id.in_(rows),
                Change.before.is_(None),
            )
            together = select(cast(ChangeBatch.act_id, Text)).where(
                ChangeBatch.record_kind == SameRecord.__name__, ChangeBatch.what == "added"
            )
            self._acts[record_id] = {*session.scalars(single), *session.scalars(together)}
        return self._acts[record_id]


def read_aliases(session: Session) -> Aliases:
    query = select(
        cast(SameRecord.id, Text),
        SameRecord.record_kind,
        cast(SameRecord.gone_id, Text),
        cast(SameRecord.kept_id, Text),
    )
    joins: dict[str, set[str]] = {}
    kind_of: dict[str, str] = {}
    pairs = []
    for row_id, kind, gone, kept in session.execute(query):
        joins.setdefault(gone, set()).add(row_id)
        kind_of |= {gone: kind, kept: kind}
        pairs.append((gone, kept))
    return Aliases(representatives(pairs), joins, kind_of)


def keep_as_one(session: Session, kind: str, record_id: UUID) -> None:
    """Say for good that what is one with the record as long as both are open is one with it, in the act that ends it.

    Without that the others would stand again as soon as the record is ended, and what was counted with them.
    """
    others = same_records_by_meaning(session, [kind])
    for gone, kept in sorted(others.items()):
        if kept == str(record_id):
            session.add(SameRecord(record_kind=kind, gone_id=key_of(gone), kept_id=record_id))


def close_waiting(
    session: Session, kind: type[Base], of: Mapping[str, Any], closed: Callable[[Image], Image]
) -> None:
    """End records that have no row since one of the same meaning stands, and that would come in when this ends.

    `of` are fields that they have in common with it, as images hold them; a key by which they refer to a record that
    was joined to another since is that of the other. `closed` is an image of what is ended.
    """
    waiting = [(key, image) for name, key, image in parked_images(session) if name == kind.__name__]
    if not waiting:
        return
    aliases = read_aliases(session)
    for key, image in waiting:
        ended = closed(image)
        if ended != image and aliases.standing_in(image, of) == of:
            note_changed(session, kind.__name__, key, image, ended)


def changed_names(before: Aliases, after: Aliases) -> set[str]:
    """The key of every record of which another stands now than stood before."""
    return {
        record_id
        for record_id in before.kind_of.keys() | after.kind_of.keys()
        if before.stands_for(record_id) != after.stands_for(record_id)
        or before.joins.get(record_id) != after.joins.get(record_id)
    }
