"""What the nights on record say of each mount: the evidence that a review judges by."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from math import nan
from uuid import UUID

import numpy as np
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.over_time.landing_history import (
    COURSE,
    MountHistory,
    histories_together,
    recorded_landings,
)
from obslog.club.over_time.own_trends import own_of_club
from obslog.club.performance.error_sources import ErrorSources, sources_of
from obslog.club.performance.fit_summary import FitSummary
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.placed_arrivals import MountOnRecord, MountTypeUnknown, NothingPlaced
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.observing_site import zone_or_utc
from obslog.club.register.rule_book import Rules
from obslog.club.review.exchanged import exchanged
from obslog.club.review.landed_with import ClubLandings, landed_with
from obslog.club.review.verdicts import Growth, MisfitInWords, MountEvidence, OpenSnags, OwnErrors
from obslog.club.routine.club_steps import steps_in_force
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.records.tables.logbook_tables import Night, Setup, Site, Snag
from obslog.times import DAYS_OF_A_YEAR
from obslog.trends.attribution.attribution import NothingToAttribute
from obslog.values import Estimate
from obslog.vocabulary.steps import StepKey

NO_SHARE = Estimate(nan, nan, 0, False)
SOURCES = ("mount", "observer", "site", "rest")


@dataclass(frozen=True, slots=True, kw_only=True)
class NightsOnRecord:
    """What is read of the nights, once for all mounts; snags and set-ups by the key of the mount."""

    snapshot: Snapshot
    snags: Mapping[UUID, list[OpenSnags]]
    setups_last_year: Mapping[UUID, int]
    alarms_from: date
    people_do: Collection[StepKey]
    fewest_setups: int


@dataclass(frozen=True, slots=True)
class Evidence:
    """How much of the club's landing errors is whose, and what is known of each mount, by its key."""

    shares: Mapping[str, Estimate]
    mounts: Mapping[UUID, MountEvidence]


def read_nights(
    session: Session, rules: Rules, today: date, snapshot: Snapshot | None = None
) -> NightsOnRecord:
    """Read what all mounts are judged by, from a snapshot of the session where there is one already."""
    return NightsOnRecord(
        snapshot=snapshot or Snapshot(session),
        snags=_open_snags(session, today - timedelta(days=int(rules["snag-days"]))),
        setups_last_year=_setups_after(session, today - timedelta(days=DAYS_OF_A_YEAR)),
        alarms_from=today - timedelta(days=int(rules["alarm-days"])),
        people_do=steps_in_force(session).people_do,
        fewest_setups=int(rules["fewest-setups"]),
    )


def gather(nights: NightsOnRecord) -> Evidence:
    """Look at all mounts together, while the session of the nights is open; verdicts on trends allow for that."""
    snapshot = nights.snapshot
    club, sources = ClubLandings.of(snapshot.all_landings()), _sources(snapshot)
    fits, histories = MountFits(snapshot), _histories(snapshot)
    fits.read_ahead()
    summaries = {mount.name: _summary(fits, mount.name) for mount in snapshot.mounts.values()}
    swapped = exchanged({name: found for name, found in summaries.items() if found is not None})
    evidence = {}
    for key, mount in snapshot.mounts.items():
        told = _of_landings(mount, nights, club)
        if told.setups:
            told = _with_each_tube(told, fits, key, nights, club, sources)
        history = histories.get(key)
        evidence[key] = replace(
            told,
            exchanged=tuple(
                one
                for one in swapped.get(mount.name, ())
                if told.serviced_on is None or one.change.since > told.serviced_on
            ),
            growth=_growth(history, _alarms_from(nights, told.serviced_on)) if history else None,
        )
    return Evidence(sources.shares if sources else dict.fromkeys(SOURCES, NO_SHARE), evidence)


def _of_landings(mount: MountOnRecord, nights: NightsOnRecord, club: ClubLandings) -> MountEvidence:
    """What a mount's landings since its last service say, and what is on record beside them."""
    services, landings = nights.snapshot.services.get(mount.key, ()), club.landings
    serviced_on = services[-1] if services else None
    mine = club.since(mount.key, serviced_on)
    sites = [landings.setups[place].site for place in mine]
    return MountEvidence(
        setups=len(mine),
        nights=len({landings.setups[place].night for place in mine}),
        observers=club.observers(mine),
        unsigned=sum(landings.observers[place] is None for place in mine),
        usual_site=max(sorted(set(sites)), key=sites.count) if sites else None,
        setups_last_year=nights.setups_last_year.get(mount.key, 0),
        serviced_on=serviced_on,
        raw_ratio=club.raw_ratio(mine),
        snags=nights.snags.get(mount.key, []),
        goes_to=mount.goes_to,
        people_do=nights.people_do,
    )


def _alarms_from(nights: NightsOnRecord, serviced_on: date | None) -> date:
    return max(nights.alarms_from, serviced_on or nights.alarms_from)


def _sources(snapshot: Snapshot) -> ErrorSources | None:
    try:
        return sources_of(snapshot)
    except NothingToAttribute:
        return None


def _histories(snapshot: Snapshot) -> dict[UUID, MountHistory]:
    """The histories of all mounts that were ever set up, looked at together, by key."""
    snapshot.kept.read_ahead(COURSE)
    recorded = {
        key: recorded_landings(snapshot, key) for key in snapshot.mounts if snapshot.landings(key).setups
    }
    return dict(
        zip(recorded, histories_together(list(recorded.values()), own_of_club(snapshot)), strict=True)
    )


def _with_each_tube(
    told: MountEvidence,
    fits: MountFits,
    key: UUID,
    nights: NightsOnRecord,
    club: ClubLandings,
    sources: ErrorSources | None,
) -> MountEvidence:
    """Add the landings and the fit with the tube that it has now, and with each other that has set-ups enough."""
    snapshot = nights.snapshot
    mine = club.since(key, told.serviced_on)
    effects = sources.of_mount(key) if sources else []
    found = _summary(fits, snapshot.mounts[key].name)
    looked_at = _looked_at(fits, found, snapshot.mounts[key].name, nights.fewest_setups) if found else []
    every = club.all_since(key, told.serviced_on)
    now, *others = landed_with(mine, every, club, snapshot.tubes, effects, looked_at)
    return replace(
        told,
        effect=now.effect,
        raw_ratio=now.raw_ratio,
        own=now.own,
        tube=now.tube,
        with_tube=now.with_tube,
        tube_observers=now.observers,
        with_others=others,
        left_out=_left_out(found, told.serviced_on) if found else (),
    )


def _looked_at(
    fits: MountFits, found: FitSummary, name: str, fewest: int
) -> list[tuple[str | None, OwnErrors | None]]:
    """What the joint fits find, by tube, that used most first."""
    enough = [other.name for other in found.others if other.name is not None and other.setups >= fewest]
    others = [(other, _summary(fits, name, other)) for other in enough]
    return [(found.tube, _own(found)), *((other, _own(its) if its else None) for other, its in others)]


def _summary(fits: MountFits, name: str, tube: str | None = None) -> FitSummary | None:
    try:
        return fits.summary(name, tube)
    except (NothingPlaced, NothingMeasured, MountTypeUnknown):
        return None


def _own(found: FitSummary) -> OwnErrors | None:
    """What the joint fit finds in the newest mechanical era; None where it cannot tell, or nothing was set up in it."""
    if found.serviced_since is not None:
        return None
    newest, era = found.newest, max(found.eras)
    told = [
        separation
        for separation, arrivals, its_era in zip(found.separations, found.arrivals, found.eras, strict=True)
        if arrivals and its_era == era
    ]
    if not newest.noise.determined or not told:
        return None
    known = [separation.value for separation in told if separation.determined]
    return OwnErrors(
        scatter_arcmin=newest.noise,
        cone_arcmin=newest.cone,
        squareness_arcmin=newest.squareness,
        sag_arcmin=newest.sag,
        polar_axis_off_arcmin=float(np.median(known)) if known else None,
        setups=len(known),
        mount_type=found.mount_type,
        tube=found.tube,
        one_of_several=bool(found.others),
    )


def _left_out(found: FitSummary, serviced_on: date | None) -> list[MisfitInWords]:
    """What the fit leaves out, but for changes before the last service: that made the mount another."""
    tube = f"with {found.tube}: " if found.others and found.tube else ""
    return [
        MisfitInWords(kind=one.kind, words=f"{tube}{one.words}", size_arcmin=one.size_arcmin, since=one.since)
        for one in found.findings
        if one.since is None or serviced_on is None or one.since >= serviced_on
    ]


def _growth(history: MountHistory, alarms_from: date) -> Growth:
    nights = sorted({alarm.night for alarm in history.alarms if alarm.worse and alarm.night >= alarms_from})
    return Growth(str(history.verdict), history.yearly_factor or history.grown, nights, history.since)


def _open_snags(session: Session, since: date) -> dict[UUID, list[OpenSnags]]:
    """By item and step, from that day on; the day of a snag is that of its site's clock."""
    query = (
        select(Snag.equipment_id, Snag.step, Snag.member_id, Snag.at_utc, Site.zone)
        .outerjoin(Site, Snag.site_id == Site.id)
        .where(Snag.fixed_utc.is_(None), Snag.equipment_id.is_not(None))
        .where(Snag.at_utc >= datetime.combine(since, time(), UTC) - timedelta(days=1))
        .order_by(Snag.equipment_id, Snag.step)
    )
    told: dict[tuple[UUID, StepKey], list[tuple[UUID | None, date]]] = {}
    for key, step, member, at_utc, zone in session.execute(query):
        day = at_utc.astimezone(zone_or_utc(zone)).date()
        if key is not None and day >= since:
            told.setdefault((key, step), []).append((member, day))
    found: dict[UUID, list[OpenSnags]] = {}
    for (key, step), snags in told.items():
        members = {member for member, _ in snags} - {None}
        newest = max(day for _, day in snags)
        found.setdefault(key, []).append(OpenSnags(step, len(snags), len(members), newest))
    return found


def _setups_after(session: Session, day: date) -> dict[UUID, int]:
    query = (
        select(Setup.mount_id, func.count())
        .join(Night, Setup.night_id == Night.id)
        .where(Night.night_of > day)
        .group_by(Setup.mount_id)
    )
    return {key: count for key, count in session.execute(query) if key is not None}
