"""What the nights on record say of each mount: the evidence that a review judges by."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import exp

import numpy as np
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.performance.error_sources import Share, Whose, whose_error
from obslog.club.performance.landing_errors import Landings, load_landings
from obslog.club.performance.landing_history import MountHistory, compare_mounts
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced, placed_arrivals
from obslog.club.register.rule_book import Rules
from obslog.club.review.verdicts import Effect, Growth, MountEvidence, OpenSnags, OwnErrors
from obslog.pointing.joint_fit.fit import NothingMeasured, fit_pointing
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Mount, Night, Service, Setup, Snag
from obslog.trends.attribution.attribution import NothingToAttribute

NO_SHARE = Share(0.0, None, False)
SOURCES = ("mount", "observer", "site", "rest")
DAYS_OF_A_YEAR = 365


@dataclass(frozen=True, slots=True)
class Evidence:
    """The split of the club's landing errors, and what is known of each mount by its name."""

    attribution: Mapping[str, Share]
    mounts: Mapping[str, MountEvidence]


@dataclass(frozen=True, slots=True)
class _Gathered:
    """What is looked up once for all mounts, each by the mount's name."""

    landings: Landings
    whose: Whose | None
    histories: Mapping[str, MountHistory]
    services: Mapping[str, date]
    snags: Mapping[str, list[OpenSnags]]
    setups_last_year: Mapping[str, int]
    alarms_from: date


def gather(database: Database, rules: Rules, today: date) -> Evidence:
    """Look at all mounts together; verdicts on trends allow for that."""
    whose = _whose(database)
    with database.read() as session:
        names = session.scalars(select(Mount.name).order_by(Mount.name_key)).all()
        landings = load_landings(session)
        services = _last_services(session)
        snags = _open_snags(session, today - timedelta(days=int(rules["snag-days"])))
        yearly = _setups_since(session, today - timedelta(days=DAYS_OF_A_YEAR))
    seen = {setup.mount for setup in landings.setups}
    histories = {h.mount: h for h in compare_mounts(database, sorted(seen))} if seen else {}
    alarms_from = today - timedelta(days=int(rules["alarm-days"]))
    gathered = _Gathered(landings, whose, histories, services, snags, yearly, alarms_from)
    return Evidence(
        whose.attribution if whose else dict.fromkeys(SOURCES, NO_SHARE),
        {name: _of_mount(database, name, gathered) for name in names},
    )


def _of_mount(database: Database, name: str, gathered: _Gathered) -> MountEvidence:
    landings, whose = gathered.landings, gathered.whose
    serviced_on, history = gathered.services.get(name), gathered.histories.get(name)
    known = np.isfinite(landings.log_error)
    mine = np.array([setup.mount == name for setup in landings.setups], dtype=bool) & known
    since = [
        setup
        for setup, ok in zip(landings.setups, mine, strict=True)
        if ok and (serviced_on is None or setup.night >= serviced_on)
    ]
    sites = [setup.site for setup in since]
    raw = (
        exp(float(landings.log_error[mine].mean() - landings.log_error[known].mean())) if mine.any() else None
    )
    effect = next((e for e in whose.effects if (e.kind, e.name) == ("mount", name)), None) if whose else None
    alarms_from = max(gathered.alarms_from, serviced_on or gathered.alarms_from)
    return MountEvidence(
        setups=len(since),
        observers=len({setup.observer for setup in since if setup.observer}),
        usual_site=max(sorted(set(sites)), key=sites.count) if sites else None,
        setups_last_year=gathered.setups_last_year.get(name, 0),
        serviced_on=serviced_on,
        effect=Effect(effect.ratio, effect.low, effect.high) if effect else None,
        raw_ratio=raw,
        own=_own(database, name) if since else None,
        growth=_growth(history, len(since), alarms_from) if history else None,
        snags=gathered.snags.get(name, []),
    )


def _whose(database: Database) -> Whose | None:
    try:
        return whose_error(database)
    except NothingToAttribute:
        return None


def _own(database: Database, name: str) -> OwnErrors | None:
    """What the joint fit finds in the newest mechanical era; None where it cannot tell."""
    try:
        placed = placed_arrivals(database, name, None)
        fit = fit_pointing(placed.machine, placed.arrivals, placed.era_of_setup)
    except (NothingPlaced, NothingMeasured, MountTypeUnknown):
        return None
    newest = fit.mechanical[-1]
    measured = [setup.separation.value for setup in fit.setups if setup.arrivals]
    if not newest.noise.determined or not measured:
        return None
    return OwnErrors(newest.noise, newest.cone, newest.squareness, float(np.median(measured)), len(measured))


def _growth(history: MountHistory, setups: int, alarms_from: date) -> Growth:
    slope = history.slope
    factor, low, high = (
        (exp(slope.per_year), exp(slope.low), exp(slope.high)) if slope else (None, None, None)
    )
    nights = sorted({alarm.night for alarm in history.alarms if alarm.worse and alarm.night >= alarms_from})
    return Growth(str(history.verdict), factor, low, high, setups, nights)


def _last_services(session: Session) -> dict[str, date]:
    """The last mechanical service of each mount."""
    query = (
        select(Mount.name, func.max(Service.done_on))
        .join(Service, Service.equipment_id == Mount.id)
        .where(Service.mechanical)
        .group_by(Mount.name)
    )
    return {name: day for name, day in session.execute(query)}  # noqa: C416 - rows, not pairs, to the type checker


def _open_snags(session: Session, since: date) -> dict[str, list[OpenSnags]]:
    query = (
        select(
            Mount.name, Snag.step, func.count(), func.count(Snag.member_id.distinct()), func.max(Snag.at_utc)
        )
        .join(Snag, Snag.equipment_id == Mount.id)
        .where(Snag.fixed_utc.is_(None), Snag.at_utc >= datetime.combine(since, time(), UTC))
        .group_by(Mount.name, Snag.step)
    )
    found: dict[str, list[OpenSnags]] = {}
    for name, step, count, members, newest in session.execute(query):
        found.setdefault(name, []).append(OpenSnags(step, count, members, newest.date()))
    return found


def _setups_since(session: Session, since: date) -> dict[str, int]:
    query = (
        select(Mount.name, func.count())
        .join(Setup, Setup.mount_id == Mount.id)
        .join(Night, Setup.night_id == Night.id)
        .where(Night.night_of >= since)
        .group_by(Mount.name)
    )
    return {name: count for name, count in session.execute(query)}  # noqa: C416
