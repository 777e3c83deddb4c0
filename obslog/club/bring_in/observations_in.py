"""Observations from a sheet: whose they are, in which night and set-up, and what they make or change."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cache
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake, Outcome, change_words, differences
from obslog.club.bring_in.names import NamedRecord, Names, equipment_of, members, sites
from obslog.club.bring_in.nights_in import NightsIn
from obslog.club.bring_in.observation_times import row_instant
from obslog.club.bring_in.observations_on_record import (
    ObservationsOnRecord,
    Where,
    known_between,
)
from obslog.club.bring_in.sky_in import ScaleChanges, SkyIn, SkyTold, refuse_what_disagrees
from obslog.club.night.plausibility import LOWEST_ALT_DEG, magnification_of
from obslog.club.register.observing_site import place_of, zone_or_utc
from obslog.club.sky.altitudes import LookedAt, altitudes_deg
from obslog.errors import ObslogError, WrongInput
from obslog.exchange.spreadsheets.reading import ValueRow
from obslog.grammar.target_names import Target, target_as_written
from obslog.records.tables.logbook_tables import Eyepiece, Observation, Site, Tube
from obslog.times import night_of, zone_named
from obslog.values import Place
from obslog.vocabulary.observations import Sighting
from obslog.vocabulary.sky_scales import SkyScale

_AS_TOLD = ("sighting", "description", "magnification", "filter", "vision", "found_by", "rating", "sketch")


class WhichSite(WrongInput):
    def __init__(self, count: int) -> None:
        super().__init__(
            "The site is not named, and " + (f"{count} are on record." if count else "none is on record."),
            "Name it in a column site." if count else "Add it first: obslog site add",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _SiteIn:
    """A site that rows may name: where it lies, and the zone by which its nights are told apart."""

    key: UUID
    name: str
    zone: ZoneInfo
    zone_on_record: ZoneInfo | None
    place: Place | None


@dataclass(slots=True, kw_only=True)
class _Register:
    """Who and what rows may name; what is named again is not looked for again."""

    sites: Names
    site_records: Mapping[UUID, Site]
    members: Names
    mounts: Names
    tubes: Names
    eyepieces: Names
    tube_records: Mapping[UUID, Tube]
    eyepiece_records: Mapping[UUID, Eyepiece]
    target: Any = field(default_factory=lambda: cache(target_as_written))
    _sites_in: dict[str | None, _SiteIn] = field(default_factory=dict)
    _found: dict[tuple[str, str], NamedRecord] = field(default_factory=dict)
    _magnifications: dict[tuple[UUID, UUID], float | None] = field(default_factory=dict)

    def site_of(self, row: ValueRow) -> _SiteIn:
        name = row.values.get("site")
        if name not in self._sites_in:
            site = self._site_named(name)
            self._sites_in[name] = _SiteIn(
                key=site.id,
                name=site.name,
                zone=zone_or_utc(site.zone),
                zone_on_record=zone_named(site.zone) if site.zone else None,
                place=place_of(site),
            )
        return self._sites_in[name]

    def _site_named(self, name: str | None) -> Site:
        if name is not None:
            return self.site_records[self.sites.named(str(name)).key]
        in_use = [site for site in self.site_records.values() if site.retired_on is None]
        if len(in_use) != 1:
            raise WhichSite(len(in_use))
        return in_use[0]

    def told(self, names: Names, row: ValueRow, column: str) -> NamedRecord | None:
        name = row.values.get(column)
        if name is None:
            return None
        found = self._found.get((column, name))
        if found is None:
            found = self._found[column, name] = names.named(str(name))
        return found

    def magnification(self, tube: UUID, eyepiece: UUID) -> float | None:
        both = (tube, eyepiece)
        if both not in self._magnifications:
            self._magnifications[both] = magnification_of(
                self.tube_records.get(tube), self.eyepiece_records[eyepiece]
            )
        return self._magnifications[both]


@dataclass(slots=True, kw_only=True)
class _Draft:
    """A row that can be taken in: what it is known by, in which night that was, and what it tells."""

    row: ValueRow
    site: _SiteIn
    target: Target
    night_of: date
    night: UUID
    where: Where
    told: dict[str, Any]
    settled: bool = False


def observations_in(intake: Intake) -> None:
    """Find out what each row makes or changes; rows that are on record as they are come first, then those that differ.

    An observation is known by its site, instant, target and observer. Of two that share these, each keeps its own row.
    """
    register, nights = _register(intake), NightsIn(intake=intake)
    nights.load()
    drafts = [draft for row in intake.rows if (draft := _draft(intake, register, nights, row)) is not None]
    sky = _sky_changes(intake, drafts)
    known = known_between(intake.session, [draft.where[1] for draft in drafts])
    for draft in drafts:
        if known.the_same(draft.where, draft.told) is not None:
            draft.settled = True
            intake.told(draft.row.line, draft.target.name, *_outcome(sky.get(draft.row.line, "")))
    new = list(_new(intake, known, [draft for draft in drafts if not draft.settled], sky))
    looks = [LookedAt(draft.target, draft.where[1], draft.site.place) for draft in new]
    for draft, alt_deg in zip(new, altitudes_deg(looks), strict=True):
        _add(intake, draft, alt_deg)
    intake.outcomes.sort(key=lambda outcome: outcome.line)


def _draft(intake: Intake, register: _Register, nights: NightsIn, row: ValueRow) -> _Draft | None:
    try:
        site = register.site_of(row)
        at_utc = row_instant(row.values, site.name, site.zone_on_record, intake.now)
        target = register.target(row.values["target"])
        observer = register.told(register.members, row, "observer")
        mount = register.told(register.mounts, row, "mount")
        tube = register.told(register.tubes, row, "tube")
        eyepiece = register.told(register.eyepieces, row, "eyepiece")
        evening = _evening(row, site, at_utc)
        night = nights.night(site.key, evening)
        setup = nights.setup(
            night,
            (mount.key, mount.name) if mount else None,
            row.values.get("setup"),
            tube.key if tube else None,
        )
    except ObslogError as error:
        intake.refuse(row.line, "", error)
        return None
    told = {column: row.values.get(column) for column in _AS_TOLD}
    told["setup_id"] = setup.key if setup else None
    told["eyepiece_id"] = eyepiece.key if eyepiece else None
    if told["magnification"] is None and setup is not None and setup.tube_id and eyepiece is not None:
        told["magnification"] = register.magnification(setup.tube_id, eyepiece.key)
    return _Draft(
        row=row,
        site=site,
        target=target,
        night_of=evening,
        night=night,
        where=(site.key, at_utc, target.name, observer.key if observer else None),
        told=told,
    )


def _evening(row: ValueRow, site: _SiteIn, at_utc: datetime) -> date:
    """The night that is told, which was held against the instant where the site's zone is known; else by the zone."""
    told: date | None = row.values.get("night")
    return told if told is not None and site.zone_on_record is not None else night_of(at_utc, site.zone)


def _sky_changes(intake: Intake, drafts: Sequence[_Draft]) -> dict[int, str]:
    """Make readings of what rows tell of the sky: for each row what it changes, in words."""
    columns = {scale.column: scale for scale in SkyScale}
    told = [
        SkyTold(
            line=draft.row.line, night=draft.night, at_utc=draft.where[1], scale=columns[name], value=value
        )
        for draft in drafts
        for name, value in draft.row.values.items()
        if value is not None and name in columns
    ]
    if not told:
        return {}
    refuse_what_disagrees(intake, told)
    sky = SkyIn(intake=intake)
    sky.load()
    return {line: _sky_words(changes) for line, changes in sky.settle(told).items()}


def _sky_words(changes: ScaleChanges) -> str:
    before = {str(scale): value for scale, (value, _) in changes.items()}
    return change_words(before, {str(scale): value for scale, (_, value) in changes.items()})


def _outcome(changes: str) -> tuple[Outcome, str]:
    return (Outcome.CHANGED, changes) if changes else (Outcome.SAME, "")


def _new(
    intake: Intake, known: ObservationsOnRecord, drafts: Sequence[_Draft], sky: Mapping[int, str]
) -> Iterator[_Draft]:
    """Those that are not on record; what the others change is told."""
    seen: dict[Where, list[dict[str, Any]]] = {}
    for draft in drafts:
        line, name = draft.row.line, draft.target.name
        there = known.another(draft.where)
        if there is not None:
            changes = differences(there.values, draft.told)
            intake.change(Observation, there.key, changes)
            words = (change_words(there.values, _without_keys(changes)), sky.get(line, ""))
            intake.told(line, name, Outcome.CHANGED, ", ".join(filter(None, words)))
            continue
        above = seen.setdefault(draft.where, [])
        if draft.told in above:
            intake.told(line, name, Outcome.SAME, "as in a row above")
            continue
        above.append(draft.told)
        yield draft


def _add(intake: Intake, draft: _Draft, alt_deg: float | None) -> None:
    _, at_utc, name, member_id = draft.where
    columns = draft.told | {"sighting": draft.told["sighting"] or Sighting.SEEN}
    intake.add(
        Observation,
        night_id=draft.night,
        at_utc=at_utc,
        target=name,
        member_id=member_id,
        alt_deg=alt_deg,
        **columns,
    )
    words = f"night of {draft.night_of} at {draft.site.name}{remarks(draft.target, alt_deg)}"
    intake.told(draft.row.line, name, Outcome.NEW, words)


def remarks(target: Target, alt_deg: float | None) -> str:
    """What should be looked at again in a new entry, behind what else is said of it."""
    below = (
        f"; stood {-alt_deg:.0f}° below the horizon: check the time"
        if alt_deg is not None and alt_deg < LOWEST_ALT_DEG
        else ""
    )
    unknown = "" if target.known else "; not a known star or object, kept as written"
    return below + unknown


def _without_keys(changes: Mapping[str, Any]) -> dict[str, Any]:
    """Changes as they can be told: an eyepiece and a set-up by their words."""
    return {
        column.removesuffix("_id"): "another" if column.endswith("_id") else value
        for column, value in changes.items()
    }


def _register(intake: Intake) -> _Register:
    session = intake.session
    return _Register(
        sites=sites(session),
        site_records={site.id: site for site in session.scalars(select(Site))},
        members=members(session),
        mounts=equipment_of(session, "mount"),
        tubes=equipment_of(session, "tube"),
        eyepieces=equipment_of(session, "eyepiece"),
        tube_records={tube.id: tube for tube in session.scalars(select(Tube))},
        eyepiece_records={eyepiece.id: eyepiece for eyepiece in session.scalars(select(Eyepiece))},
    )
