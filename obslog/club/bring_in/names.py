"""Whom and what a sheet names: whole names, in any case, looked up once for all its rows."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import WrongInput, nearest_names
from obslog.records.tables.base import name_key
from obslog.records.tables.equipment import Equipment
from obslog.records.tables.lending import Kit
from obslog.records.tables.logbook_tables import Member, Site

_FIRST = {
    "site": "Add it first: obslog site add",
    **dict.fromkeys(("mount", "tube", "eyepiece"), "Bring it in first: obslog import items FILE"),
}
"""What is to be done first where a name of that sort is not on record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedRecord:
    """A member, an item or a kit: its key, its name as on record, its kind, and since when it is retired."""

    key: UUID
    name: str
    kind: str
    retired_on: date | None = None
    loan_days: int | None = None


class NameNotOnRecord(WrongInput):
    def __init__(self, sort: str, name: str, near: list[str]) -> None:
        hint = (
            f"Is it {' or '.join(near)}?"
            if near
            else _FIRST.get(sort, f"Bring it in first: obslog import {sort}s FILE")
        )
        super().__init__(f"There is no {sort} named {name!r} on record.", hint)


class SeveralOfThatName(WrongInput):
    def __init__(self, name: str, kinds: Iterable[str]) -> None:
        super().__init__(
            f"{name!r} is the name of a {' and of a '.join(kinds)}.",
            "Rename one of them: obslog item edit --rename",
        )


class Names:
    """The names of one sort, by their forms."""

    def __init__(self, kind: str, found: Iterable[NamedRecord]) -> None:
        self._kind = kind
        self._by_key: dict[str, list[NamedRecord]] = {}
        for one in found:
            self._by_key.setdefault(name_key(one.name), []).append(one)

    def by_record(self) -> dict[UUID, NamedRecord]:
        """All of them by their keys."""
        return {one.key: one for found in self._by_key.values() for one in found}

    def get(self, name: str) -> NamedRecord | None:
        """What has that whole name; None where nothing has. Raises SeveralOfThatName."""
        found = self._by_key.get(name_key(name), [])
        if len(found) > 1:
            raise SeveralOfThatName(name, [one.kind for one in found])
        return found[0] if found else None

    def named(self, name: str) -> NamedRecord:
        """What has that whole name. Raises NameNotOnRecord with the nearest names, SeveralOfThatName."""
        found = self.get(name)
        if found is None:
            raise NameNotOnRecord(
                self._kind, name, nearest_names(name, [f[0].name for f in self._by_key.values()])
            )
        return found


def members(session: Session) -> Names:
    query = select(Member.id, Member.name, Member.retired_on)
    return Names(
        "member",
        [
            NamedRecord(key=key, name=name, kind="member", retired_on=retired)
            for key, name, retired in session.execute(query)
        ],
    )


def sites(session: Session) -> Names:
    query = select(Site.id, Site.name)
    return Names(
        "site", [NamedRecord(key=key, name=name, kind="site") for key, name in session.execute(query)]
    )


def equipment_of(session: Session, kind: str) -> Names:
    """The mounts, the tubes or the eyepieces."""
    return Names(kind, [item for item in _items(session) if item.kind == kind])


def items(session: Session) -> Names:
    return Names("item", _items(session))


def kits_and_items(session: Session) -> Names:
    """Kits before items: of a kit and an item of one name the kit is meant, as everywhere."""
    kits = [
        NamedRecord(key=k.id, name=k.name, kind="kit", retired_on=k.retired_on, loan_days=k.loan_days)
        for k in session.scalars(select(Kit))
    ]
    taken = {name_key(kit.name) for kit in kits}
    return Names("item", [*kits, *(item for item in _items(session) if name_key(item.name) not in taken)])


def _items(session: Session) -> list[NamedRecord]:
    query = select(Equipment.id, Equipment.name, Equipment.kind, Equipment.retired_on)
    return [
        NamedRecord(key=key, name=name, kind=kind, retired_on=retired)
        for key, name, kind, retired in session.execute(query)
    ]
