"""The plain way to say what rows a log means: all records at once, kind by kind and key by key, without a database.

Slow and short: what settling works out from what is new is held against it.
"""

import json
from collections.abc import Collection
from functools import cache
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.batches import unpacked_keys
from obslog.records.history.folding import LogChange, RecordState, fold
from obslog.records.history.images import SEARCHED_BY
from obslog.records.history.representatives import representatives
from obslog.records.merging.check_probe import CheckProbe
from obslog.records.merging.checks import defaults
from obslog.records.merging.kinds import Kind, Once, kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import Row, all_rows, rows_of
from obslog.records.merging.standing import Aside, Standing, joined_row, stand
from obslog.records.tables.logbook import Change, ChangeBatch

Key = tuple[str, str]
_CHANGES = select(
    cast(Change.id, Text),
    cast(Change.act_id, Text),
    Change.record_kind,
    cast(Change.record_id, Text),
    Change.before,
    Change.after,
)
_BATCHES = select(ChangeBatch.record_kind, ChangeBatch.record_ids)


def entries_of_all(session: Session) -> dict[Key, list[LogChange]]:
    """Every entry of every record of the kinds that are known."""
    found: dict[Key, list[LogChange]] = {}
    for change_id, act_id, kind, record_id, before, after in session.execute(_CHANGES):
        if kind in kinds():
            change = LogChange(
                act_id=act_id, change_id=change_id, record_kind=kind, record_id=record_id,
                before=json.loads(before) if before else None, after=json.loads(after) if after else None,
            )  # fmt: skip
            found.setdefault((kind, record_id), []).append(change)
    return found | _of_batches(session)


def _of_batches(session: Session) -> dict[Key, list[LogChange]]:
    """Every entry of the records that are among many in one of them."""
    ids: dict[str, set[str]] = {}
    for kind, packed in session.execute(_BATCHES):
        ids.setdefault(kind, set()).update(unpacked_keys(packed))
    reader = LogReader(session=session, rows_now=lambda kind, some: rows_of(session, kinds()[kind], some))
    return {
        (kind, record_id): entries
        for kind, some in ids.items()
        if kind in kinds()
        for record_id, entries in reader.entries(kind, some).items()
    }


def rows_now(session: Session) -> dict[Key, Row]:
    """Every row of every kind; of a file by the driver itself, for there are fifty kinds, and it is asked for often."""
    if session.get_bind().dialect.name != "sqlite":
        return {
            (kind.name, record_id): row
            for kind in kinds().values()
            for record_id, row in all_rows(session, kind).items()
        }
    driver: Any = session.connection().connection.driver_connection
    found: dict[Key, Row] = {}
    for kind in kinds().values():
        names, query = _all_of(kind)
        place = names.index("id")
        for row in driver.execute(query):
            found[kind.name, row[place]] = dict(zip(names, row, strict=True))
    return found


@cache
def _all_of(kind: Kind) -> tuple[list[str], str]:
    """What an image of the kind is called by, and a statement that reads all rows in that order."""
    first, *others = kind.tables
    columns: dict[str, str] = {}
    for table in kind.tables:
        for column in table.columns:
            columns.setdefault(
                kind.mapper.get_property_by_column(column).key, f'"{table.name}"."{column.name}"'
            )
    columns.pop(SEARCHED_BY, None)
    joins = " ".join(f'JOIN "{other.name}" USING (id)' for other in others)
    return list(columns), f'SELECT {", ".join(columns.values())} FROM "{first.name}" {joins}'


class Whole:
    """The rows that a whole log means, and what does not stand as it says."""

    def __init__(self, entries: dict[Key, list[LogChange]]) -> None:
        self.entries = entries
        same = {key: fold(of_it) for key, of_it in entries.items() if key[0] == "SameRecord"}
        self.joins = [state for state in same.values() if state.alive]
        self.aliases = representatives(
            [(state.fields["gone_id"], state.fields["kept_id"]) for state in self.joins]
        )
        self.standing: dict[Key, Standing] = {}
        self.probe = CheckProbe()
        for kind in sorted(kinds().values(), key=lambda one: one.order):
            places = {one: self._place(kind, one) for name, one in entries if name == kind.name}
            for record_id in sorted(places, key=lambda one: (places[one], one)):
                self._decide(kind, record_id)
        for key in list(self.standing):
            self._add_what_others_say(key)
        self.probe.close()

    @property
    def rows(self) -> dict[Key, Row]:
        found: dict[Key, Row] = {}
        for (kind, record_id), standing in self.standing.items():
            if standing.row is not None:
                filled = defaults(kinds()[kind])
                row = {name: standing.row.get(name, value) for name, value in filled.items()}
                row.pop("search_text", None)
                found[kind, record_id] = row
        return found

    @property
    def asides(self) -> set[tuple[str, str, Aside]]:
        return {(*key, aside) for key, standing in self.standing.items() for aside in standing.asides}

    def _state(self, kind: Kind, record_id: str) -> RecordState:
        acts: Collection[str] = {
            entry.act_id
            for join in self.joins
            if join.fields["gone_id"] == record_id
            for entry in self.entries["SameRecord", join.record_id]
            if entry.before is None
        }
        return fold(self.entries[kind.name, record_id], joined_by=acts)

    def _place(self, kind: Kind, record_id: str) -> tuple[str, int]:
        """The largest key among the record's own and those it hangs on, and how many steps it is from that."""
        chain = [record_id]
        while (before := self._before(kind, chain[-1])) is not None and before not in chain:
            chain.append(before)
        if before == record_id:  # a circle, of which none stands
            return record_id, 0
        return max((key, steps) for steps, key in enumerate(chain))

    def _before(self, kind: Kind, record_id: str) -> str | None:
        if kind.its_own is None or (kind.name, record_id) not in self.entries:
            return None
        state = self._state(kind, record_id)
        target = state.fields.get(kind.its_own) if state.alive else None
        return None if target is None else self.aliases.get(target, target)

    def comes_before(self, kind: Kind, one: str, other: str) -> bool:
        return (self._place(kind, one), one) < (self._place(kind, other), other)

    def _decide(self, kind: Kind, record_id: str) -> None:
        state = self._state(kind, record_id)
        if state.alive and record_id not in self.aliases:
            self.standing[kind.name, record_id] = stand(kind, record_id, state.fields, self)
        else:
            self.standing[kind.name, record_id] = Standing(None)

    def _add_what_others_say(self, key: Key) -> None:
        kind, record_id = key
        row = self.standing[key].row
        others = [name for name, one in self.standing.items() if name[0] == kind and one.same_as == record_id]
        if row is None or not others:
            return
        entries = [entry for name in (key, *others) for entry in self.entries[name]]
        row, more = joined_row(kinds()[kind], row, fold(entries, as_one=True).fields, self)
        self.standing[key] = Standing(row, (*self.standing[key].asides, *more))

    def resolved(self, record_id: str) -> str:
        record_id = self.aliases.get(record_id, record_id)
        return next(
            (one.same_as for (_k, key), one in self.standing.items() if key == record_id and one.same_as),
            record_id,
        )

    def stands(self, among: tuple[str, ...], record_id: str) -> bool:
        found = (self.standing.get((kind, record_id)) for kind in among)
        return any(one is not None and one.row is not None for one in found)

    def holder(self, kind: Kind, once: Once, key: tuple[Any, ...], below: str) -> str | None:
        return next(
            (
                record_id
                for (name, record_id), one in self.standing.items()
                if name == kind.name
                and self.comes_before(kind, record_id, below)
                and one.row is not None
                and once.key(one.row) == key
            ),
            None,
        )

    def row_of(self, kind: Kind, record_id: str) -> Row | None:
        return self.standing[kind.name, record_id].row

    def breaks(self, kind: Kind, row: dict[str, Any]) -> bool:
        return self.probe.breaks(kind, row)
