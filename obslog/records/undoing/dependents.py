"""What depends on an act: newer acts that wrote the same fields, records that refer to what it added, and what has
taken the place of what it removed."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import Table, Text, UniqueConstraint, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.acts import not_derived, that_hold
from obslog.records.history.batches import place_in
from obslog.records.history.images import Image, RecordKind, read_image, record_kind, record_kinds
from obslog.records.history.rows import by_many, referring
from obslog.records.history.steps import Added, Edited, Removed, Step
from obslog.records.tables.column_types import key_of
from obslog.records.tables.keys import is_derived, reference_of
from obslog.records.tables.lending import WHERE
from obslog.records.tables.logbook import Act, Change, ChangeBatch, SameRecord

_JOINING = SameRecord.__name__
Touched = dict[str, set[str] | None]


@dataclass(frozen=True, slots=True)
class Later:
    """A newer act: what it was, and its reference."""

    sentence: str
    reference: str
    act_id: UUID


@dataclass(frozen=True, slots=True)
class Hanging:
    """A record that refers to another, or is in its way, or `gone`, and the newest act that wrote it, if known."""

    table: str
    key: str
    later: Later | None
    gone: bool = False


def later_act(session: Session, act: Act, steps: Sequence[Step]) -> Later | None:
    """The oldest act after this one, not undone, that wrote a field which this one wrote, or a record it added."""
    newer = (Act.id > act.id, *that_hold(), not_derived())
    if session.scalar(select(Act.id).where(*newer).limit(1)) is None:
        return None
    touched = _touched(steps)
    query = (
        select(Act.id, Act.sentence, Change.record_id, Change.before, Change.after)
        .join(Change, Change.act_id == Act.id)
        .where(*newer)
    )
    found: dict[UUID, str] = {}
    for some in by_many(session, list(touched)):
        for act_id, sentence, record_id, before, after in session.execute(
            query.where(Change.record_id.in_(some))
        ):
            if _meet(touched[str(record_id)], before, after):
                found[act_id] = sentence
    if not found:
        return None
    return Later(found[min(found)], reference_of(min(found)), min(found))


def joined_to_another(session: Session, steps: Sequence[Step]) -> Later | None:
    """The act that made a record, which these steps removed, one with another that stands; None where none did.

    A joining that is itself among the steps is taken back with them.
    """
    ended = {
        key for step in steps if isinstance(step, Added) and step.kind.name == _JOINING for key in step.keys
    }
    for step in steps:
        if not isinstance(step, Removed):
            continue
        for some in by_many(session, step.keys):
            query = select(cast(SameRecord.id, Text)).where(
                cast(SameRecord.gone_id, Text).in_(map(str, some))
            )
            for joining in session.scalars(query.order_by(SameRecord.id)):
                if joining not in ended:
                    return _newest_of(session, SameRecord.__tablename__, joining)
    return None


def who_refers(session: Session, kind: RecordKind, keys: Sequence[str]) -> Hanging | None:
    """A record that refers to one of these; None where none does."""
    found = referring(session, kind, keys)
    if found is None:
        return None
    table, key = found
    later = _newest_of(session, table, key)
    return Hanging(table, key, None if later is None or is_derived(later.act_id) else later)


def who_holds(session: Session, kind: RecordKind, image: Image) -> list[Hanging]:
    """What keeps a record out that is to be put back: whoever has what only one may have, and what it refers to, gone.

    Each with the newest act by which it came to that, where it is known: what an upgrade wrote down is one too.
    """
    values = read_image(kind, image)
    found: list[Hanging] = []
    for part in kind.tables:
        for columns, open_while in _once(part):
            wanted = {name: values.get(kind.columns[part.name][name]) for name in columns}
            closed = open_while is not None and values.get(open_while) is not None
            if closed or None in wanted.values():
                continue
            query = select(cast(part.c.id, Text)).where(
                *(part.c[name] == value for name, value in wanted.items()), part.c.id != values["id"]
            )
            if open_while is not None:
                query = query.where(part.c[open_while].is_(None))
            for key in session.scalars(query):
                told = {kind.columns[part.name][name] for name in (*columns, *filter(None, [open_while]))}
                found.append(Hanging(part.name, key, _newest_of(session, part.name, key, told)))
        for foreign in part.foreign_keys:
            target = values.get(kind.columns[part.name][foreign.parent.name])
            if foreign.parent.primary_key or target is None:
                continue
            there = select(foreign.column).where(foreign.column == target)
            if session.execute(there).first() is None:
                table = foreign.column.table.name
                removed = _newest_of(session, table, str(target), undone_too=True)
                found.append(Hanging(table, str(target), removed, True))
    return found


def _once(part: Table) -> Iterator[tuple[list[str], str | None]]:
    """Columns whose values may stand once in a table, and the column that has to be empty for that."""
    for rule in part.constraints:
        if isinstance(rule, UniqueConstraint):
            yield [column.name for column in rule.columns], None
    for index in part.indexes:
        if index.unique:
            still_open = str(index.info[WHERE]).removesuffix(" IS NULL") if WHERE in index.info else None
            yield [column.name for column in index.columns], still_open


def _newest_of(
    session: Session, table: str, key: str, fields: set[str] | None = None, *, undone_too: bool = False
) -> Later | None:
    """The newest act that wrote a record, or one of these fields of it, and is not undone.

    With `undone_too` of all acts, undone ones and their undoings: of what is gone it is the one that took it away.
    """
    counting = () if undone_too else that_hold()
    changes = (
        select(Act.id, Act.sentence, Change.before, Change.after)
        .join(Change, Change.act_id == Act.id)
        .where(Change.record_id == key_of(key), *counting)
    )
    found = [
        (act_id, sentence)
        for act_id, sentence, before, after in session.execute(changes)
        if _meet(fields, before, after)
    ]
    kinds = [name for name, mapped in record_kinds().items() if table in record_kind(mapped).columns]
    batches = (
        select(Act.id, Act.sentence, ChangeBatch.record_ids)
        .join(ChangeBatch, ChangeBatch.act_id == Act.id)
        .where(
            ChangeBatch.record_kind.in_(kinds),
            ChangeBatch.first_id <= key_of(key),
            ChangeBatch.last_id >= key_of(key),
            *counting,
        )
    )
    for act_id, sentence, packed in session.execute(batches):
        if place_in(packed, key) is not None:
            found.append((act_id, sentence))
    if not found:
        return None
    act_id, sentence = max(found)
    return Later(sentence, reference_of(act_id), act_id)


def _touched(steps: Sequence[Step]) -> Touched:
    """The records of an act, each with the fields that it wrote; None for all of them."""
    touched: Touched = {}
    for step in steps:
        if isinstance(step, Edited):
            fields = touched.setdefault(step.key, set())
            if fields is not None:
                fields.update(step.fields)
        else:
            touched.update(dict.fromkeys(step.keys))
    return touched


def _meet(fields: set[str] | None, before: str | None, after: str | None) -> bool:
    if fields is None or before is None or after is None:
        return True
    was, became = json.loads(before), json.loads(after)
    return any(was.get(name) != became.get(name) for name in fields)
