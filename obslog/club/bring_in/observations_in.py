"""Observations from a sheet: whose they are, in which night and set-up, and what they make or change."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any
from uuid import UUID

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake, Outcome, change_words
from obslog.club.bring_in.names import Found, Names, equipment_of, members, sites
from obslog.club.bring_in.nights_in import NightsIn
from obslog.club.bring_in.observation_times import row_instant
from obslog.club.bring_in.observations_on_record import KEPT, Known, Where, known_between
from obslog.club.night.plausibility import LOWEST_ALT_DEG, altitude_deg, magnification_of
from obslog.club.register.observing_site import zone_or_utc
from obslog.errors import ObslogError, WrongInput
from obslog.exchange.spreadsheets.reading import ValueRow
from obslog.grammar.target_names import Target, target_as_written
from obslog.records.tables.logbook_tables import Eyepiece, Observation, Site, Tube
from obslog.times import night_of
from obslog.vocabulary import Sighting

_AS_TOLD = ("sighting", "description", "magnification", "filter", "vision", "found_by", "rating", "sketch")


class WhichSite(WrongInput):
    def __init__(self, count: int) -> None:
        super().__init__(
            "The site is not named, and " + (f"{count} are on record." if count else "none is on record."),
            "Name it in a column site." if count else "Add it first: obslog site add",
        )


@dataclass(slots=True, kw_only=True)
class _Register:
    """Who and what rows may name."""

    sites: Names
    site_records: Mapping[UUID, Site]
    members: Names
    mounts: Names
    tubes: Names
    eyepieces: Names
    tube_records: Mapping[UUID, Tube]
    eyepiece_records: Mapping[UUID, Eyepiece]
    target: Any = field(default_factory=lambda: cache(target_as_written))

    def site_of(self, row: ValueRow) -> Site:
        if "site" in row.values:
            return self.site_records[self.sites.named(str(row.values["site"])).key]
        in_use = [site for site in self.site_records.values() if site.retired_on is None]
        if len(in_use) != 1:
            raise WhichSite(len(in_use))
        return in_use[0]

    def told(self, names: Names, row: ValueRow, column: str) -> Found | None:
        return names.named(str(row.values[column])) if column in row.values else None


@dataclass(slots=True, kw_only=True)
class _Draft:
    """A row that can be taken in: what it is known by, and what it tells."""

    row: ValueRow
    site: Site
    target: Target
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
    known = known_between(intake.session, [draft.where[1] for draft in drafts])
    for draft in drafts:
        if known.the_same(draft.where, draft.told) is not None:
            draft.settled = True
            intake.told(draft.row.line, draft.target.name, Outcome.SAME)
    new: set[tuple[Any, ...]] = set()
    for draft in drafts:
        if not draft.settled:
            _take(intake, register, known, draft, nights, new)
    intake.outcomes.sort(key=lambda outcome: outcome.line)


def _draft(intake: Intake, register: _Register, nights: NightsIn, row: ValueRow) -> _Draft | None:
    try:
        site = register.site_of(row)
        at_utc = row_instant(row.values, site, intake.now)
        target = register.target(str(row.values["target"]))
        observer = register.told(register.members, row, "observer")
        mount = register.told(register.mounts, row, "mount")
        tube = register.told(register.tubes, row, "tube")
        eyepiece = register.told(register.eyepieces, row, "eyepiece")
        night = nights.night(site.id, night_of(at_utc, zone_or_utc(site.zone)))
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
    told |= {"setup_id": setup.key if setup else None, "eyepiece_id": eyepiece.key if eyepiece else None}
    if told["magnification"] is None and setup is not None and setup.tube_id and eyepiece is not None:
        told["magnification"] = magnification_of(
            register.tube_records.get(setup.tube_id), register.eyepiece_records[eyepiece.key]
        )
    return _Draft(
        row=row,
        site=site,
        target=target,
        where=(site.id, at_utc, target.name, observer.key if observer else None),
        told=told,
    )


def _take(
    intake: Intake,
    register: _Register,
    known: Known,
    draft: _Draft,
    nights: NightsIn,
    new: set[tuple[Any, ...]],
) -> None:
    line, name = draft.row.line, draft.target.name
    there = known.another(draft.where)
    if there is not None:
        changes = {c: v for c, v in draft.told.items() if v is not None and there.values.get(c) != v}
        intake.change(Observation, there.key, changes)
        intake.told(line, name, Outcome.CHANGED, change_words(there.values, _without_keys(changes)))
        return
    whole = (draft.where, tuple(draft.told.values()))
    if whole in new:
        intake.told(line, name, Outcome.SAME, "as in a row above")
        return
    new.add(whole)
    _, at_utc, _, member_id = draft.where
    night = night_of(at_utc, zone_or_utc(draft.site.zone))
    alt_deg = altitude_deg(draft.target, at_utc, draft.site)
    intake.add(
        Observation,
        night_id=nights.night(draft.site.id, night),
        at_utc=at_utc,
        target=name,
        member_id=member_id,
        alt_deg=alt_deg,
        **{
            **{column: draft.told[column] for column in KEPT},
            "sighting": draft.told["sighting"] or Sighting.SEEN,
        },
    )
    intake.told(
        line, name, Outcome.NEW, f"night of {night} at {draft.site.name}{remarks(draft.target, alt_deg)}"
    )


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
