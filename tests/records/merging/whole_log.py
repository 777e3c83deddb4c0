"""The plain way to say what rows a log means: all records at once, kind by kind and key by key, without a database.

Slow and short: what settling works out from what is new is held against it.
"""

from collections.abc import Collection
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.batches import unpacked_keys
from obslog.records.history.folding import LogChange, RecordState, fold, representatives
from obslog.records.merging.check_probe import CheckProbe
from obslog.records.merging.checks import defaults
from obslog.records.merging.kinds import Kind, Once, kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import Row, all_rows, rows_of
from obslog.records.merging.standing import Aside, Standing, joined_row, stand
from obslog.records.tables.logbook import Change, ChangeBatch

Key = tuple[str, str]


def entries_of_all(session: Session) -> dict[Key, list[LogChange]]:
    """Every entry of every record of the kinds that are known."""
    ids: dict[str, set[str]] = {}
    for kind, record_id in session.execute(select(Change.record_kind, cast(Change.record_id, Text))):
        ids.setdefault(kind, set()).add(record_id)
    for kind, packed in session.execute(select(ChangeBatch.record_kind, ChangeBatch.record_ids)):
        ids.setdefault(kind, set()).update(unpacked_keys(packed))
    reader = LogReader(session=session, rows_now=lambda kind, some: rows_of(session, kinds()[kind], some))
    return {
        (kind, record_id): entries
        for kind, some in ids.items()
        if kind in kinds()
        for record_id, entries in reader.entries(kind, some).items()
    }


def rows_now(session: Session) -> dict[Key, Row]:
    return {
        (kind.name, record_id): row
        for kind in kinds().values()
        for record_id, row in all_rows(session, kind).items()
    }


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
            for record_id in sorted(one for name, one in entries if name == kind.name):
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

    def _decide(self, kind: Kind, record_id: str) -> None:
        acts: Collection[str] = {
            entry.act_id
            for join in self.joins
            if join.fields["gone_id"] == record_id
            for entry in self.entries["SameRecord", join.record_id]
            if entry.before is None
        }
        state: RecordState = fold(self.entries[kind.name, record_id], joined_by=acts)
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
                and record_id < below
                and one.row is not None
                and once.key(one.row) == key
            ),
            None,
        )

    def row_of(self, kind: Kind, record_id: str) -> Row | None:
        return self.standing[kind.name, record_id].row

    def breaks(self, kind: Kind, row: dict[str, Any]) -> bool:
        return self.probe.breaks(kind, row)
