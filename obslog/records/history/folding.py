"""What a record is by all that the log says of it: pure, without a database.

Entries are put in the order of their acts' keys, so that it does not matter in which order, or how often, they came.
A later entry wins, field by field. A removal stays until an entry adds the record anew. What a newer entry overwrote
without having seen it is kept and listed. Keys are text here, as the images of records hold them.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

Image = Mapping[str, Any]
BEFORE_ALL = ""  # the act of a value that was there before the first entry known
MADE_OF_OTHERS = frozenset({"name_key", "search_text"})
"""Columns that are made from others whenever a record is written: they lose and win nothing."""

TOGETHER: dict[str, tuple[frozenset[str], ...]] = {
    "Arrival": (
        frozenset({"ra_hours", "dec_deg"}),
        frozenset({"offset_east_arcmin", "offset_north_arcmin"}),
    ),
    "Setup": (frozenset({"pier_side", "pier_side_since_utc"}), frozenset({"open", "ended_utc"})),
    "Night": (frozenset({"open", "ended_utc"}),),
    "Site": (frozenset({"lat_deg", "lon_deg"}), frozenset({"retired_on", "retired_why"})),
    "Loan": (frozenset({"out_on", "due_on"}), frozenset({"back_on", "received_by_id", "deposit_returned"})),
    "KitPart": (frozenset({"left_on", "left_why"}),),
    "LoanPart": (frozenset({"back_on", "condition_in", "note_in"}), frozenset({"fault", "fault_on"})),
    "Reservation": (frozenset({"closed_on", "served"}),),
    "ClubRule": (frozenset({"value", "word"}),),
    **{
        kind: (frozenset({"retired_on", "retired_why"}),)
        for kind in ("Member", "Kit", "Mount", "Tube", "Eyepiece", "Item")
    },
}
"""Fields that belong together: half of one entry and half of another would say what nobody wrote."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogChange:
    """One record in one act: `before` is None where it was added, `after` where it was removed."""

    act_id: str
    change_id: str
    record_kind: str
    record_id: str
    before: Image | None
    after: Image | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Overwritten:
    """A value that gave way to another whose writer had not seen it; `stands` is None where the record was removed."""

    record_kind: str
    record_id: str
    field: str
    lost: Any
    lost_act: str
    stands: Any
    stands_act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordState:
    """A record by the log: whether it is there, its fields, which act wrote each, and what was overwritten unseen."""

    record_kind: str
    record_id: str
    alive: bool
    fields: dict[str, Any]
    written_by: dict[str, str]
    overwritten: tuple[Overwritten, ...]


Seen = Callable[[str, Any, Any], bool]


def as_it_was(_field: str, before: Any, current: Any) -> bool:
    """Whether an entry that found `before` had seen the value `current`."""
    return bool(before == current)


def fold(
    changes: Iterable[LogChange],
    *,
    joined_by: Collection[str] = (),
    as_one: bool = False,
    seen: Seen = as_it_was,
) -> RecordState:
    """The state of the one record that all the changes are of; there is at least one.

    A removal by an act of `joined_by` is none: it only made the record another name of one that stays. With `as_one`
    the changes are of several records of one meaning: what a later one does not know takes nothing from the first.
    """
    ordered = in_order(changes)
    folding = _Folding(kind=ordered[0].record_kind, record_id=ordered[0].record_id, as_one=as_one, seen=seen)
    for change in ordered:
        if change.after is not None:
            folding.write(change, change.after)
        elif not as_one and change.act_id not in joined_by:
            folding.remove(change)
        else:
            folding.begin(change)
    return folding.state()


def in_order(changes: Iterable[LogChange]) -> list[LogChange]:
    """Each entry once, in the order of the acts."""
    once = {change.change_id: change for change in changes}
    return sorted(once.values(), key=lambda change: (change.act_id, change.change_id))


def differing(before: Image, after: Image) -> set[str]:
    """The fields in which two images of a record differ."""
    return {name for name, value in after.items() if name not in before or before[name] != value}


@dataclass(slots=True, kw_only=True)
class _Folding:
    kind: str
    record_id: str
    as_one: bool
    seen: Seen
    begun: bool = False
    alive: bool = False
    removed_by: str = BEFORE_ALL
    fields: dict[str, Any] = field(default_factory=dict)
    written_by: dict[str, str] = field(default_factory=dict)
    lost: dict[str, list[tuple[Any, str]]] = field(default_factory=dict)

    def begin(self, change: LogChange) -> None:
        """What was there before the first entry known, where that is no beginning."""
        if not self.begun and change.before is not None:
            self.fields = dict(change.before)
            self.written_by = dict.fromkeys(self.fields, BEFORE_ALL)
            self.alive = True
        self.begun = True

    def write(self, change: LogChange, after: Image) -> None:
        fresh = not self.begun
        self.begin(change)
        if change.before is None:
            self._add(change.act_id, after, fresh)
        elif self.alive:
            for name in self._written(change.before, after):
                self._set(name, after.get(name), change.act_id, change.before.get(name))
        else:
            for name in differing(change.before, after):
                self._lose(name, after[name], change.act_id)

    def remove(self, change: LogChange) -> None:
        self.begin(change)
        before = change.before or {}
        if self.alive:
            for name, value in self.fields.items():
                if name in before and not self.seen(name, before[name], value):
                    self._lose(name, value, self.written_by[name])
        self.alive = False
        self.removed_by = change.act_id

    def state(self) -> RecordState:
        gone = not self.alive
        return RecordState(
            record_kind=self.kind,
            record_id=self.record_id,
            alive=self.alive,
            fields=self.fields,
            written_by=self.written_by,
            overwritten=tuple(
                Overwritten(
                    record_kind=self.kind,
                    record_id=self.record_id,
                    field=name,
                    lost=value,
                    lost_act=act_id,
                    stands=None if gone else self.fields.get(name),
                    stands_act=self.removed_by if gone else self.written_by.get(name, BEFORE_ALL),
                )
                for name, values in sorted(self.lost.items())
                for value, act_id in values
                if gone or value != self.fields.get(name)
            ),
        )

    def _add(self, act_id: str, after: Image, fresh: bool) -> None:
        if fresh or not self.alive:
            self.fields = dict(after)
            self.written_by = dict.fromkeys(after, act_id)
            self.alive = True
            return
        for name in differing(self.fields, after):
            if after[name] is not None or not self.as_one:
                self._set(name, after[name], act_id, None)

    def _written(self, before: Image, after: Image) -> set[str]:
        changed = differing(before, after)
        for group in TOGETHER.get(self.kind, ()):
            if group & changed:
                changed |= group & after.keys()
        return changed

    def _set(self, name: str, value: Any, act_id: str, before: Any) -> None:
        current = self.fields.get(name)
        if self.seen(name, before, current):
            self.lost.pop(name, None)
        elif value != current:
            self._lose(name, current, self.written_by.get(name, BEFORE_ALL))
        self.fields[name] = value
        self.written_by[name] = act_id

    def _lose(self, name: str, value: Any, act_id: str) -> None:
        if name not in MADE_OF_OTHERS:
            self.lost.setdefault(name, []).append((value, act_id))


def representatives(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """For each key that is another name of a record, the key of the record that stands; from (gone, kept) pairs.

    What is one with the same record is one. Of several that would stand, or in a circle, it is the smallest.
    """
    leader: dict[str, str] = {}

    def find(key: str) -> str:
        while leader.setdefault(key, key) != key:
            leader[key] = leader[leader[key]]
            key = leader[key]
        return key

    once = sorted(set(pairs))
    for gone, kept in once:
        leader[find(gone)] = find(kept)
    groups: dict[str, list[str]] = {}
    for key in sorted(leader):
        groups.setdefault(find(key), []).append(key)
    never_gone = set(leader) - {gone for gone, _kept in once}
    return {
        key: stands
        for members in groups.values()
        for stands in (_first_that_stays(members, never_gone),)
        for key in members
        if key != stands
    }


def _first_that_stays(members: Sequence[str], never_gone: Collection[str]) -> str:
    return next((key for key in members if key in never_gone), members[0])
