"""What a record is by all that the log says of it: pure, without a database.

Entries are put in the order of their acts' keys, so that it does not matter in which order, or how often, they came.
A later entry wins, field by field. A removal stays until an entry adds the record anew. What a newer entry overwrote
without having seen it is kept and listed. A member who was made nameless is so for good, whoever wrote of them before
or since. Keys are text here, as the images of records hold them.
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from obslog.records.nameless import made_nameless

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
NOTHING_TAKEN_BACK: Mapping[str, str] = {}


def as_it_was(_field: str, before: Any, current: Any) -> bool:
    """Whether an entry that found `before` had seen the value `current`."""
    return bool(before == current)


def fold(
    changes: Iterable[LogChange],
    *,
    joined_by: Collection[str] = (),
    as_one: bool = False,
    seen: Seen = as_it_was,
    taking_back: Mapping[str, str] = NOTHING_TAKEN_BACK,
) -> RecordState:
    """The state of the one record that all the changes are of; there is at least one.

    A removal by an act of `joined_by` is none: it only made the record another name of one that stays. With `as_one`
    the changes are of several records of one meaning: what a later one does not know takes nothing from the first.
    `taking_back` names for an act the one that it takes back: what that one settled is open again.
    """
    ordered = in_order(changes)
    folding = _Folding(
        kind=ordered[0].record_kind,
        record_id=ordered[0].record_id,
        as_one=as_one,
        seen=seen,
        taking_back=taking_back,
    )
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


@dataclass(frozen=True, slots=True, eq=False)
class _Written:
    """Who wrote a field last, and what gave way in it that nobody has settled; one is no other, though it be equal."""

    act_id: str
    lost: tuple[tuple[Any, str], ...] = ()


@dataclass(slots=True, kw_only=True)
class _Folding:
    kind: str
    record_id: str
    as_one: bool
    seen: Seen
    taking_back: Mapping[str, str]
    begun: bool = False
    alive: bool = False
    removed_by: str = BEFORE_ALL
    fields: dict[str, Any] = field(default_factory=dict)
    written: dict[str, _Written] = field(default_factory=dict)
    steps: dict[tuple[str, str], tuple[_Written, _Written]] = field(default_factory=dict)
    """Of a field and an act how it was written before and after, so that the act can be taken back."""
    begun_with: dict[tuple[str, str], tuple[Any, Any]] = field(default_factory=dict)
    """Of a field and an act what the act found first, and what stood here then."""
    left: LogChange | None = None
    """The entry that made a member nameless; of several the last."""

    def begin(self, change: LogChange) -> None:
        """What was there before the first entry known, where that is no beginning."""
        if not self.begun and change.before is not None:
            self.fields = dict(change.before)
            self._all_written_by(BEFORE_ALL, self.fields)
            self.alive = True
        self.begun = True

    def write(self, change: LogChange, after: Image) -> None:
        fresh = not self.begun
        self.begin(change)
        if change.before is None:
            self._add(change.act_id, after, fresh)
        elif made_nameless(change.before):
            self.left = change
        elif self.alive:
            for name in self._told_in(change.before, after):
                self._set(name, after.get(name), change.act_id, change.before.get(name))
        else:
            for name in differing(change.before, after):
                self._write_gone(name, after[name], change.act_id, change.before.get(name))

    def remove(self, change: LogChange) -> None:
        self.begin(change)
        before = change.before or {}
        if self.alive:
            for name, value in self.fields.items():
                if name in before and not self.seen(name, before[name], value):
                    self._lose(name, value, self.written[name].act_id)
                    self.fields[name] = before[name]
        self.alive = False
        self.removed_by = change.act_id

    def state(self) -> RecordState:
        gone = not self.alive
        if self.left is not None and self.left.after is not None:
            return RecordState(
                record_kind=self.kind,
                record_id=self.record_id,
                alive=self.alive,
                fields=dict(self.left.after),
                written_by=dict.fromkeys(self.left.after, self.left.act_id),
                overwritten=(),
            )
        return RecordState(
            record_kind=self.kind,
            record_id=self.record_id,
            alive=self.alive,
            fields=self.fields,
            written_by={name: self.written[name].act_id for name in self.fields},
            overwritten=tuple(
                Overwritten(
                    record_kind=self.kind,
                    record_id=self.record_id,
                    field=name,
                    lost=value,
                    lost_act=act_id,
                    stands=None if gone else self.fields.get(name),
                    stands_act=self.removed_by if gone else written.act_id,
                )
                for name, written in sorted(self.written.items())
                for value, act_id in written.lost
                if gone or value != self.fields.get(name)
            ),
        )

    def _add(self, act_id: str, after: Image, fresh: bool) -> None:
        if fresh or not self.alive:
            self.fields = {name: value for name, value in self.fields.items() if name not in after} | dict(
                after
            )
            self._all_written_by(act_id, after)
            self.alive = True
            return
        for name in differing(self.fields, after):
            if after[name] is not None or not self.as_one:
                self._set(name, after[name], act_id, None)

    def _told_in(self, before: Image, after: Image) -> set[str]:
        """The fields that an entry changes, and those that belong together with one of them."""
        changed = differing(before, after)
        for group in TOGETHER.get(self.kind, ()):
            if group & changed:
                changed |= group & after.keys()
        return changed

    def _set(self, name: str, value: Any, act_id: str, before: Any) -> None:
        current, was = self.fields.get(name), self._written_now(name)
        found, stood = self.begun_with.setdefault((name, act_id), (before, current))
        if value == found and (before, current) != (found, stood):
            value = stood  # written and written back, whatever stands here: it changes nothing
        if self.seen(name, before, current):
            self._put(name, act_id, _Written(act_id))
        elif value == current or name in MADE_OF_OTHERS:
            self._put(name, act_id, _Written(act_id, was.lost))
        else:
            self._put(name, act_id, _Written(act_id, (*was.lost, (current, was.act_id))))
        self.fields[name] = value

    def _write_gone(self, name: str, value: Any, act_id: str, before: Any) -> None:
        """A field of a record that was removed: whoever wrote over a value that gave way had seen it."""
        if name in MADE_OF_OTHERS:
            return
        was = self._written_now(name)
        lost = [one for one in was.lost if not self.seen(name, before, one[0])]
        if value != self.fields.get(name):
            lost.append((value, act_id))
        self._put(name, act_id, _Written(was.act_id, tuple(lost)))

    def _put(self, name: str, act_id: str, written: _Written) -> None:
        """Write down who wrote a field; an act that takes another back leaves it as it was before that one."""
        was = self._written_now(name)
        taken_back = self.steps.get((name, self.taking_back.get(act_id, "")))
        if taken_back is not None and (taken_back[0] is was or taken_back[1] is was):
            written = taken_back[0]
        begun = self.steps.get((name, act_id), (was,))[0]
        self.steps[name, act_id] = begun, written
        self.written[name] = written

    def _lose(self, name: str, value: Any, act_id: str) -> None:
        if name not in MADE_OF_OTHERS:
            was = self._written_now(name)
            self.written[name] = _Written(was.act_id, (*was.lost, (value, act_id)))

    def _written_now(self, name: str) -> _Written:
        if name not in self.written:
            self.written[name] = _Written(BEFORE_ALL)
        return self.written[name]

    def _all_written_by(self, act_id: str, names: Iterable[str]) -> None:
        """These fields were written with the whole record; what gave way before is listed still."""
        for name in names:
            self.written[name] = _Written(act_id, self._written_now(name).lost)
