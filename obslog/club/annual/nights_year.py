"""The annual report on use under the sky and upkeep: nights, landing errors of the fleet, services and their cost."""

import numpy as np
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.annual.report_records import (
    FleetLanding,
    NightYear,
    Period,
    ServicesOfItem,
    ServiceYear,
    money,
)
from obslog.club.performance.landing_errors import load_landings
from obslog.club.register.rule_book import Rules
from obslog.records.tables.logbook_tables import Equipment, Night, Service, Setup
from obslog.records.tables.storeroom import ServiceBill
from obslog.trends.series.service_changes import change_between


def night_year(session: Session, period: Period) -> NightYear:
    """How many nights and set-ups, of how many mounts, by how many observers."""
    inside = Night.night_of.between(period.first, period.last)
    nights, sites = session.execute(
        select(func.count(), func.count(Night.site_id.distinct())).where(inside)
    ).one()
    setups, mounts, observers = session.execute(
        select(func.count(), func.count(Setup.mount_id.distinct()), func.count(Setup.member_id.distinct()))
        .join(Night, Setup.night_id == Night.id)
        .where(inside)
    ).one()
    return NightYear(nights=nights, sites=sites, setups=setups, mounts=mounts, observers=observers)


def fleet_landing(session: Session, period: Period, rules: Rules) -> FleetLanding:
    """The fleet's landing error against the period before; each needs as many set-ups as a verdict on a mount."""
    fewest, before = int(rules["fewest-setups"]), period.before
    landings = load_landings(session, nights=(before.first, period.last))
    log_error, nights = landings.log_error, [setup.night for setup in landings.setups]
    known = np.isfinite(log_error)
    now_told, then_told = (
        np.array([span.holds(night) for night in nights], dtype=bool) & known for span in (period, before)
    )
    now, then = log_error[now_told], log_error[then_told]
    few = [
        f"{part.size} {when}"
        for part, when in ((now, "in the period"), (then, "in the period before"))
        if part.size < fewest
    ]
    change = None if few else change_between(then, now)
    return FleetLanding(
        arcmin=landings.mean_half_arcmin(now_told) if now.size >= fewest else None,
        setups=int(now.size),
        before_arcmin=landings.mean_half_arcmin(then_told) if then.size >= fewest else None,
        before_setups=int(then.size),
        change=change.factor if change else None,
        too_few=_too_few_words(few, fewest) if few else None,
    )


def _too_few_words(few: list[str], fewest: int) -> str:
    return f"too few set-ups with landing data: {' and '.join(few)}, where at least {fewest} are needed"


def service_year(session: Session, period: Period) -> ServiceYear:
    """The services of the period with their costs; one without a bill has an unknown cost."""
    query = (
        select(Equipment.name, Equipment.kind, Service.mechanical, ServiceBill.cost)
        .join(Equipment, Service.equipment_id == Equipment.id)
        .outerjoin(ServiceBill, ServiceBill.service_id == Service.id)
        .where(Service.done_on.between(period.first, period.last))
        .order_by(Equipment.name_key)
    )
    rows = session.execute(query).all()
    costs: dict[tuple[str, str], list[float | None]] = {}
    for name, kind, _, cost in rows:
        costs.setdefault((name, kind), []).append(cost)
    items = [
        ServicesOfItem(name=name, kind=kind, services=len(paid), cost=money(paid))
        for (name, kind), paid in costs.items()
    ]
    return ServiceYear(
        services=len(rows),
        mechanical=sum(mechanical for _, _, mechanical, _ in rows),
        cost=money(cost for _, _, _, cost in rows),
        things=sorted(items, key=lambda item: (-(item.cost.total or 0), -item.services)),
    )
