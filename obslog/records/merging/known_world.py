"""What merging knows while it decides: the rows that stand, what was decided of them already, and what waits for it.

Records are decided in the order of their kinds, and of their keys inside a kind, each behind those that it refers to.
Whatever a decision reaches is decided after it: whose place it takes, what refers to it, what it was in the way of.
"""

import heapq
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from sqlalchemy.orm import Session

from obslog.records.history.folding import LogChange, RecordState, fold
from obslog.records.merging import obstacles
from obslog.records.merging.check_probe import CheckProbe
from obslog.records.merging.kinds import Kind, Once, Twice, kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import Row, holders, ids_there, referring_ids, rows_of
from obslog.records.merging.same_aliases import Aliases
from obslog.records.merging.standing import Standing

Key = tuple[str, str]  # kind and key of a record
Place = tuple[str, int]  # of a record and those it hangs on the largest key, and how many steps behind it


class KnownWorld:
    """The `World` of one settling, in one session."""

    def __init__(self, session: Session, aliases: Aliases) -> None:
        self.session = session
        self.kinds = kinds()
        self.reader = LogReader(session=session, rows_now=self._rows_now)
        self.aliases = aliases
        self.decided: dict[Key, Standing] = {}
        self.rows: dict[Key, Row | None] = {}
        self.states: dict[Key, RecordState | None] = {}
        self.entries: dict[Key, list[LogChange]] = {}
        self.hosts: set[Key] = set()
        self._probe = CheckProbe()
        self._queue: list[tuple[int, Place, str, str]] = []
        self._queued: set[Key] = set()
        self._fresh: set[str] = set()
        self._held: dict[tuple[str, Once, tuple[Any, ...]], str] = {}
        self._there: dict[Key, bool] = {}
        self._places: dict[str, dict[str, Place]] = {}
        self._moved: set[Key] = set()
        self._parked_refer: dict[str, set[Key]] | None = None
        self._joined = [
            kind.name for kind in self.kinds.values() if kind.referred_by and _can_be_joined(kind)
        ]
        self._same = obstacles.same_records_by_meaning(session, self._joined)

    def close(self) -> None:
        self._probe.close()

    # what waits

    def push(self, wanted: Iterable[Key]) -> None:
        """Let these be decided, where they are not yet."""
        for kind, record_id in wanted:
            key = (kind, record_id)
            if kind in self.kinds and key not in self._queued and key not in self.decided:
                self._queued.add(key)
                self._fresh.add(record_id)
                heapq.heappush(self._queue, (self.kinds[kind].order, (record_id, 0), record_id, kind))

    def next(self) -> Key | None:
        """The first of those that wait; None where none does."""
        while self._fresh:
            fresh, self._fresh = self._fresh, set()
            self.push(obstacles.hanging_on(self.session, fresh))
        while self._queue:
            order, place, record_id, kind = heapq.heappop(self._queue)
            key = (kind, record_id)
            if key not in self.states:
                self._load(kind)
                heapq.heappush(self._queue, (order, place, record_id, kind))
                continue
            if place < (behind := self._place(self.kinds[kind], record_id)):
                heapq.heappush(self._queue, (order, behind, record_id, kind))
                continue
            self._queued.discard(key)
            return key
        return None

    def decide(self, key: Key, standing: Standing) -> None:
        """Keep the decision, and let what it reaches be decided after it."""
        kind = self.kinds[key[0]]
        self.decided[key] = standing
        if standing.row is not None:
            for once in kind.once:
                if (held := once.key(standing.row)) is not None:
                    self._held[kind.name, once, held] = key[1]
        else:
            self.push(self._that_refer_to(kind, key[1]))
        if kind.its_own and (key in self._moved or self._ever_moved(kind, key)):
            behind = {one for one in self._that_refer_to(kind, key[1]) if one[0] == kind.name}
            self._moved |= behind
            self.push(behind)
        if host := standing.same_as:
            self.hosts.add((kind.name, host))

    def _that_refer_to(self, kind: Kind, record_id: str) -> set[Key]:
        """Records that refer to one without a row: a person may have taken it away just now, while others waited."""
        found = set(self._parked_that_refer_to(record_id)) if kind.referred_by else set()
        if self.rows[kind.name, record_id] is not None:
            found |= referring_ids(self.session, kind, [record_id])
        return found

    # the order inside a kind

    def _place(self, kind: Kind, record_id: str) -> Place:
        """Behind all that the record hangs on. Those of a circle keep to their keys, so that none of them stands."""
        if kind.its_own is None:
            return record_id, 0
        places = self._places.setdefault(kind.name, {})
        chain: dict[str, None] = {}
        one: str | None = record_id
        while one is not None and one not in places and one not in chain:
            chain[one] = None
            one = self._before(kind, one)
        if one in chain:
            keys = list(chain)
            circle = keys[keys.index(one) :]
            places |= {each: (each, 0) for each in circle}
            self.push((kind.name, each) for each in circle)
        for each in reversed([each for each in chain if each not in places]):
            largest, steps = places.get(self._before(kind, each) or "", ("", 0))
            places[each] = max((each, 0), (largest, steps + 1))
        return places[record_id]

    def _before(self, kind: Kind, record_id: str) -> str | None:
        """The record of the kind itself that the record refers to."""
        state = self.state_of(kind.name, record_id)
        target = state.fields.get(kind.its_own or "") if state is not None and state.alive else None
        return None if target is None else self.aliases.stands_for(target)

    def _ever_moved(self, kind: Kind, key: Key) -> bool:
        """Whether the record is elsewhere than its key says, or may have been."""
        images = [image for entry in self.entries[key] for image in (entry.before, entry.after) if image]
        referred = [image.get(kind.its_own or "") or "" for image in images]
        return self._place(kind, key[1]) != (key[1], 0) or any(one >= key[1] for one in referred)

    def _parked_that_refer_to(self, record_id: str) -> set[Key]:
        if self._parked_refer is None:
            self._parked_refer = {}
            for kind, parked_id, image in obstacles.parked_images(self.session):
                for column in self.kinds[kind].refers if kind in self.kinds else ():
                    target = image.get(column)
                    if target is not None:
                        stands = self.aliases.stands_for(target)
                        for one in {target, stands, self._same.get(stands, stands)}:
                            self._parked_refer.setdefault(one, set()).add((kind, parked_id))
        return self._parked_refer.get(record_id, set())

    def state_of(self, kind: str, record_id: str) -> RecordState | None:
        key = (kind, record_id)
        if key not in self.states:
            self._load_these(kind, {record_id})
        return self.states[key]

    # the World of `standing.py`

    def resolved(self, record_id: str) -> str:
        record_id = self.aliases.stands_for(record_id)
        for kind in self._joined:
            if (decided := self.decided.get((kind, record_id))) is not None:
                return decided.same_as or record_id
        return self._same.get(record_id, record_id)

    def stands(self, among: tuple[str, ...], record_id: str) -> bool:
        for kind in among:
            key = (kind, record_id)
            if key in self.decided:
                if self.decided[key].row is not None:
                    return True
                continue
            if key not in self._there:
                self._there[key] = bool(ids_there(self.session, self.kinds[kind], [record_id]))
            if self._there[key]:
                return True
        return False

    def holder(self, kind: Kind, once: Once, key: tuple[Any, ...], below: str) -> str | None:
        held_by = self._held.get((kind.name, once, key))
        if held_by is not None and self.comes_before(kind, held_by, below):
            return held_by
        for record_id in holders(self.session, kind, once, key):
            if (kind.name, record_id) in self.decided or record_id == below:
                continue
            if self.comes_before(kind, record_id, below):
                return record_id
            self.push([(kind.name, record_id)])
        return None

    def comes_before(self, kind: Kind, one: str, other: str) -> bool:
        return (self._place(kind, one), one) < (self._place(kind, other), other)

    def row_of(self, kind: Kind, record_id: str) -> Row | None:
        key = (kind.name, record_id)
        if key in self.decided:
            return self.decided[key].row
        if key not in self.rows:
            self.rows[key] = rows_of(self.session, kind, [record_id]).get(record_id)
        return self.rows[key]

    def breaks(self, kind: Kind, row: dict[str, Any]) -> bool:
        return self._probe.breaks(kind, row)

    # reading

    def _load(self, kind: str) -> None:
        """Read all of a kind that wait, and what they refer to, at once."""
        waiting = {record_id for one, record_id in self._queued if one == kind}
        self._load_these(kind, waiting)
        for record_id in waiting:
            self._place(self.kinds[kind], record_id)  # whose circle waits too

    def _load_these(self, kind: str, ids: Collection[str]) -> None:
        wanted = {record_id for record_id in ids if (kind, record_id) not in self.states}
        rows = rows_of(self.session, self.kinds[kind], wanted)
        for record_id in wanted:
            self.rows[kind, record_id] = rows.get(record_id)
        entries = self.reader.entries(kind, wanted)
        for record_id in wanted:
            key = (kind, record_id)
            of_it = entries.get(record_id, [])
            self.entries[key] = of_it
            self.states[key] = (
                fold(of_it, joined_by=self.aliases.joining_acts(self.session, record_id)) if of_it else None
            )
        self._look_for_targets(self.kinds[kind], wanted)

    def _look_for_targets(self, kind: Kind, ids: Iterable[str]) -> None:
        for column, among in kind.refers.items():
            targets = {
                self.resolved(target)
                for record_id in ids
                if (state := self.states[kind.name, record_id]) is not None
                if (target := state.fields.get(column)) is not None
            }
            for other in among:
                unknown = {one for one in targets if (other, one) not in self._there}
                there = ids_there(self.session, self.kinds[other], unknown)
                self._there |= {(other, one): one in there for one in unknown}

    def _rows_now(self, kind: str, ids: Collection[str]) -> Mapping[str, Row]:
        unknown = [record_id for record_id in ids if (kind, record_id) not in self.rows]
        found = rows_of(self.session, self.kinds[kind], unknown)
        known = {record_id: self.rows.get((kind, record_id)) for record_id in ids}
        return found | {record_id: row for record_id, row in known.items() if row is not None}


def _can_be_joined(kind: Kind) -> bool:
    return any(once.second in (Twice.JOINED, Twice.NUMBERED) for once in kind.once)
