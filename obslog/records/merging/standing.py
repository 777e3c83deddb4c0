"""How a record stands in its table: as the log says, or otherwise where another stands there already, or not at all.

Decided from the kinds that others refer to on, and inside a kind by the key, for the smaller key stays as it is, but
behind what it refers to: so every laptop decides alike, in whatever order it came by what it knows. What stands already
is asked of a `World`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Protocol

from obslog import fields as limits
from obslog.records.merging.kinds import Kind, Once, Twice
from obslog.records.tables.base import name_key

REFERENCE_LENGTH = 6


class Why(StrEnum):
    """Why a record does not stand as the log says."""

    FOLLOWS = "follows"  # it refers to a record that is one with another
    SAME = "same"  # another says the same
    RENAMED = "renamed"
    NUMBERED = "numbered"
    BLANK = "blank"
    TAKEN = "taken"  # another holds what only one may
    WAITS = "waits"  # what it refers to does not stand
    BROKEN = "broken"  # its fields, of several writers, contradict each other

    @property
    def out(self) -> bool:
        """Whether the record has no row."""
        return self in (Why.SAME, Why.TAKEN, Why.WAITS, Why.BROKEN)


@dataclass(frozen=True, slots=True)
class Aside:
    """One reason, and the record that is in the way."""

    why: Why
    against: str | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """The row of a record, None where it has none, and why this is not what the log says."""

    row: dict[str, Any] | None
    asides: tuple[Aside, ...] = ()

    @property
    def same_as(self) -> str | None:
        return next((aside.against for aside in self.asides if aside.why is Why.SAME), None)


class World(Protocol):
    """What has been decided of those that come before, and of the kinds before."""

    def resolved(self, record_id: str) -> str:
        """The record that stands for this one."""

    def stands(self, among: tuple[str, ...], record_id: str) -> bool: ...

    def holder(self, kind: Kind, once: Once, key: tuple[Any, ...], below: str) -> str | None:
        """The record that comes before this one and has a row with these values."""

    def comes_before(self, kind: Kind, one: str, other: str) -> bool: ...

    def row_of(self, kind: Kind, record_id: str) -> dict[str, Any] | None: ...

    def breaks(self, kind: Kind, row: dict[str, Any]) -> bool:
        """Whether a CHECK of the tables refuses the row."""


def stand(kind: Kind, record_id: str, fields: dict[str, Any], world: World) -> Standing:
    """How a living record stands that is not only another name of one."""
    row = {name: fields[name] for name in kind.columns if name in fields}
    asides: list[Aside] = []
    missing: list[str] = []
    for column, among in kind.refers.items():
        target = row.get(column)
        if target is None:
            continue
        row[column] = resolved = world.resolved(target)
        if resolved != target:
            asides.append(Aside(Why.FOLLOWS, target))
        later_of_its_kind = kind.name in among and not world.comes_before(kind, resolved, record_id)
        if later_of_its_kind or not world.stands(among, resolved):
            missing.append(resolved)
    if missing:
        return Standing(None, (*asides, *(Aside(Why.WAITS, one) for one in missing)))
    if kind.has_name and isinstance(row.get("name"), str):
        row["name_key"] = name_key(row["name"])
    out = next(_held_out(kind, record_id, row, world, asides), None)
    if out is None and world.breaks(kind, row):
        out = Aside(Why.BROKEN)
    return Standing(None, (*asides, out)) if out else Standing(row, tuple(asides))


def joined_row(
    kind: Kind, row: dict[str, Any], together: dict[str, Any], world: World
) -> tuple[dict[str, Any], list[Aside]]:
    """The row of a record with what others say of the same: `together` is all of them folded as one."""
    fixed = {name for once in kind.once for name in once.columns} | {"id", "name"} | kind.first_says
    asides: list[Aside] = []
    new = dict(row)
    for name in kind.columns:
        if name in fixed or name not in together:
            continue
        value = together[name]
        if value is not None and name in kind.refers:
            resolved = world.resolved(value)
            if not world.stands(kind.refers[name], resolved):
                continue
            if resolved != value:
                asides.append(Aside(Why.FOLLOWS, value))
            value = resolved
        if name in kind.refers and row.get(name) not in (None, value):
            asides.append(Aside(Why.FOLLOWS, row[name]))  # its own is hidden, and nothing else would find it
        new[name] = value
    if begun := [one for one in (row.get("started_utc"), together.get("started_utc")) if one is not None]:
        new["started_utc"] = min(begun)  # who came first began the night
    return (row, []) if world.breaks(kind, new) else (new, asides)


def _held_out(
    kind: Kind, record_id: str, row: dict[str, Any], world: World, asides: list[Aside]
) -> Iterator[Aside]:
    """Why the record has no row, if so; what can be changed so that it has one is changed in `row`."""
    for once in kind.once:
        key = once.key(row)
        held_by = world.holder(kind, once, key, record_id) if key is not None else None
        if held_by is None:
            continue
        if once.second is Twice.JOINED or _of_one_sheet(kind, row, once, world.row_of(kind, held_by)):
            yield Aside(Why.SAME, held_by)
        elif once.second is Twice.RENAMED:
            asides.append(Aside(Why.RENAMED, held_by))
            _rename(kind, once, record_id, row, world, asides)
        elif once.second is Twice.BLANK:
            asides.append(Aside(Why.BLANK, held_by))
            row[once.columns[0]] = None
        elif once.second is Twice.ASIDE or not _number(kind, once, record_id, row, world, asides):
            yield Aside(Why.TAKEN, held_by)


def _of_one_sheet(kind: Kind, row: dict[str, Any], once: Once, other: dict[str, Any] | None) -> bool:
    """Whether two set-ups are one that came in on both laptops with the same sheet: neither says when it began."""
    if once.second is not Twice.NUMBERED or other is None:
        return False
    begun = (row.get("started_utc"), other.get("started_utc"))
    alike = all(row.get(name) == other.get(name) for name in ("tube_id", "member_id"))
    return kind.name == "Setup" and begun == (None, None) and alike


def told_apart(name: str, record_id: str) -> str:
    """The name of the second of two that have the same."""
    return f"{name[: limits.NAME.longest - REFERENCE_LENGTH - 3]} ({record_id[-REFERENCE_LENGTH:]})"


def second_names(name: str, record_id: str) -> tuple[str, str]:
    """The names of the second, the later one for when the first is taken too."""
    return told_apart(name, record_id), f"{name[:100]} ({record_id})"


def _rename(
    kind: Kind, once: Once, record_id: str, row: dict[str, Any], world: World, asides: list[Aside]
) -> None:
    name = row["name"]
    for told in second_names(name, record_id):
        row["name"], row["name_key"] = told, name_key(told)
        held_by = world.holder(kind, once, once.key(row) or (), record_id)
        if held_by is None:
            return
        asides.append(Aside(Why.RENAMED, held_by))


def _number(
    kind: Kind, once: Once, record_id: str, row: dict[str, Any], world: World, asides: list[Aside]
) -> bool:
    """Give the record the next free number; False where there is none any more."""
    column = once.columns[-1]
    found: list[Aside] = []
    for number in range(row[column], int(limits.SETUP_ORDINAL.high) + 1):
        row[column] = number
        held_by = world.holder(kind, once, once.key(row) or (), record_id)
        if held_by is None:
            asides += found
            return True
        found.append(Aside(Why.NUMBERED, held_by))
    return False
