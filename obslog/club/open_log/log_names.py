"""Whom and what a log names, matched to what is on record by name, or made."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake
from obslog.club.open_log.log_sites import Sites
from obslog.club.open_log.log_words import with_lines
from obslog.club.register.typed_values import checked_name
from obslog.exchange.open_log.records import Log, LogEyepiece, LogScope
from obslog.fields import (
    APERTURE_MM,
    APPARENT_FIELD_DEG,
    EYEPIECE_FOCAL_MM,
    TUBE_FOCAL_MM,
    NumberField,
    usable,
)
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Eyepiece, Member, Mount, Tube
from obslog.records.tables.storeroom import Paper

NOBODY_NAMES = frozenset(("", "not told", "unknown", "none", "anonymous"))
_NEAR_MM = 0.05
_Item = TypeVar("_Item", Tube, Eyepiece)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """What a log tells of a tube or an eyepiece; by `other_names` it is called where its name is another's."""

    name: str
    other_names: list[str]
    sizes: Mapping[str, tuple[float | None, NumberField]]
    vendor: str | None
    lines: list[str]

    @property
    def held(self) -> dict[str, float | None]:
        """Its sizes by their columns; None for one that is not told, or that no such thing has."""
        return {
            column: value if value is not None and may_hold.holds(value) else None
            for column, (value, may_hold) in self.sizes.items()
        }

    @property
    def impossible_sizes(self) -> list[str]:
        """Sizes that no such thing has, in words."""
        return [
            f"{column}: {value:g}"
            for column, (value, may_hold) in self.sizes.items()
            if value is not None and not may_hold.holds(value)
        ]


@dataclass(slots=True, kw_only=True)
class LogNames:
    """What is on record by the forms of its names; what a log names besides is added to the intake."""

    intake: Intake
    log: Log
    file: str
    made: list[str] = field(default_factory=list)
    had_contacts: bool = False
    sites: Sites = field(init=False)
    _members: dict[str, UUID] = field(default_factory=dict)
    _mounts: dict[str, UUID] = field(default_factory=dict)
    _tubes: dict[str, Tube] = field(default_factory=dict)
    _eyepieces: dict[str, Eyepiece] = field(default_factory=dict)
    _shared: Counter[tuple[str, str]] = field(default_factory=Counter)

    def load(self) -> None:
        """Read what is on record."""
        session = self.intake.session
        self.sites = Sites(intake=self.intake, log=self.log, file=self.file, made=self.made)
        self.sites.load()
        self._members = dict(session.execute(select(Member.name_key, Member.id)).all())
        self._mounts = dict(session.execute(select(Mount.name_key, Mount.id)).all())
        self._tubes = {tube.name_key: tube for tube in session.scalars(select(Tube))}
        self._shared.update(("tube", scope.model.casefold()) for scope in self.log.scopes.values())
        self._shared.update(("eyepiece", one.model.casefold()) for one in self.log.eyepieces.values())
        self._eyepieces = {eyepiece.name_key: eyepiece for eyepiece in session.scalars(select(Eyepiece))}

    def member(self, reference: str | None) -> UUID | None:
        """The member that an observer of the log is; None where the log names nobody. Raises EmptyName."""
        observer = self.log.observers.get(reference or "")
        if observer is None or observer.full_name.casefold() in NOBODY_NAMES:
            return None
        self.had_contacts |= observer.had_contacts
        name = checked_name("member", usable(observer.full_name))
        found = self._members.get(name_key(name))
        if found is None:
            note = with_lines("", observer.other, self.file) or None
            found = self.intake.add(Member, name=name, name_key=name_key(name), note=note)
            self._members[name_key(name)] = found
            self.made.append(f"member {name}")
        return found

    def mount(self, name: str) -> tuple[UUID, str]:
        """The mount of that name, on record or new. Raises EmptyName."""
        name = checked_name("mount", usable(name))
        found = self._mounts.get(name_key(name))
        if found is None:
            found = self.intake.add(
                Mount,
                name=name,
                name_key=name_key(name),
                note=None,
                mount_type=None,
                controller=None,
                refraction=False,
            )
            self._mounts[name_key(name)] = found
            self.made.append(f"mount {name}")
        return found, name

    def tube(self, scope: LogScope) -> Tube:
        """The tube that a scope is: of its name, and of no other size than it says. Raises EmptyName."""
        sizes = {"aperture_mm": (scope.aperture_mm, APERTURE_MM), "focal_mm": (scope.focal_mm, TUBE_FOCAL_MM)}
        lines = [*([f"type: {scope.kind}"] if scope.kind else []), *scope.other]
        names = [
            f"{scope.model} {_mm(scope.aperture_mm)}",
            f"{scope.model} {_mm(scope.focal_mm)} focal length",
        ]
        told = _Told(
            name=scope.model or "Scope", other_names=names, sizes=sizes, vendor=scope.vendor, lines=lines
        )
        return self._item(Tube, self._tubes, told)

    def eyepiece(self, eyepiece: LogEyepiece) -> Eyepiece:
        """The eyepiece of that name and focal length. Raises EmptyName."""
        sizes = {
            "focal_mm": (eyepiece.focal_mm, EYEPIECE_FOCAL_MM),
            "field_deg": (eyepiece.field_deg, APPARENT_FIELD_DEG),
        }
        longest = [f"max focal length: {eyepiece.longest_mm:g}"] if eyepiece.longest_mm else []
        told = _Told(
            name=eyepiece.model or "Eyepiece",
            other_names=[
                f"{eyepiece.model} {_mm(eyepiece.focal_mm)}",
                f"{eyepiece.model} {eyepiece.field_deg}°",
            ],
            sizes=sizes,
            vendor=eyepiece.vendor,
            lines=[*longest, *eyepiece.other],
        )
        return self._item(Eyepiece, self._eyepieces, told)

    def tube_named(self, name: str) -> Tube:
        """The tube of that name, of which nothing else is told."""
        return self.tube(LogScope(id="", model=name))

    def eyepiece_named(self, name: str) -> Eyepiece:
        """The eyepiece of that name, of which nothing else is told."""
        return self.eyepiece(LogEyepiece(id="", model=name))

    def _item(self, kind: type[_Item], known: dict[str, _Item], told: _Told) -> _Item:
        """The one on record by a form of its name and of no other size, else a new one."""
        word = str(kind.__mapper__.polymorphic_identity)
        forms = [checked_name(word, usable(form)) for form in (told.name, *told.other_names)]
        for place, form in enumerate(forms):
            there = known.get(name_key(form))
            if there is None and place == 0 and self._shared[word, form.casefold()] > 1:
                continue  # several of the log are called so: each is then named with its size
            if there is None:
                return self._made(kind, known, form, told)
            if all(_agree(getattr(there, column), value) for column, value in told.held.items()):
                return there
        return known[name_key(forms[-1])]

    def _made(self, kind: type[_Item], known: dict[str, _Item], name: str, told: _Told) -> _Item:
        note = with_lines("", [*told.impossible_sizes, *told.lines], self.file)[:4000] or None
        values: dict[str, Any] = {**told.held} if kind is Tube else {**told.held, "field_stop_mm": None}
        record = kind(name=name, name_key=name_key(name), note=note, **values)
        self.intake.add(kind, key=record.id, name=name, name_key=name_key(name), note=note, **values)
        if told.vendor:
            maker = " ".join(usable(told.vendor).split())[:200]
            self.intake.add(Paper, equipment_id=record.id, maker=maker)
        known[name_key(name)] = record
        self.made.append(f"{kind.__mapper__.polymorphic_identity} {name}")
        return record


def _agree(on_record: float | None, told: float | None) -> bool:
    return on_record is None or told is None or abs(on_record - told) <= _NEAR_MM


def _mm(value: float | None) -> str:
    return "" if value is None else f"{value:g} mm"
