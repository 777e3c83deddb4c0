"""The annual report on the checklist, where the club has its own: what a year's ticks and snags said of each step."""

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.annual.report_records import Period, StepYear
from obslog.club.register.observing_site import zone_or_utc
from obslog.club.routine.club_steps import SHIPPED_STEPS, steps_in_force
from obslog.records.tables.logbook_tables import Site, Snag, Tick
from obslog.times import night_of
from obslog.vocabulary.steps import StepKey

_NightAt = tuple[date, UUID | None]
_A_DAY = timedelta(days=1)  # more than any zone is ahead of universal time, or behind


def steps_year(session: Session, period: Period) -> list[StepYear] | None:
    """Each step of the club's own, and each other of which anything is on record, in the order of the checklist.

    A night at a site counts once for a step, whatever the number of ticks. None where the checklist is the shipped one.
    """
    steps = steps_in_force(session)
    if not steps.own:
        return None
    ticked: dict[StepKey, set[_NightAt]] = {}
    not_well: dict[StepKey, set[_NightAt]] = {}
    for step, night, went_well in _ticks(session, period):
        ticked.setdefault(step, set()).add(night)
        if went_well is False:
            not_well.setdefault(step, set()).add(night)
    snags = Counter(_snags(session, period))
    shipped = {entry.step for entry in SHIPPED_STEPS}
    own = [entry.step for entry in steps.entries if entry.step not in shipped and not entry.left_out]
    return [
        StepYear(
            step=step,
            title=steps.title(step),
            own=step not in shipped,
            nights=len(ticked.get(step, ())),
            nights_not_well=len(not_well.get(step, ())),
            snags=snags[step],
        )
        for step in steps.in_order({*own, *ticked, *snags})
    ]


def _ticks(session: Session, period: Period) -> Iterator[tuple[StepKey, _NightAt, bool | None]]:
    query = (
        select(Tick.step, Tick.at_utc, Tick.site_id, Site.zone, Tick.went_well)
        .outerjoin(Site, Tick.site_id == Site.id)
        .where(Tick.at_utc.between(*_ends(period)))
    )
    for step, at_utc, site, zone, went_well in session.execute(query):
        night = night_of(at_utc, zone_or_utc(zone))
        if period.holds(night):
            yield step, (night, site), went_well


def _snags(session: Session, period: Period) -> Iterator[StepKey]:
    query = (
        select(Snag.step, Snag.at_utc, Site.zone)
        .outerjoin(Site, Snag.site_id == Site.id)
        .where(Snag.at_utc.between(*_ends(period)))
    )
    for step, at_utc, zone in session.execute(query):
        if period.holds(night_of(at_utc, zone_or_utc(zone))):
            yield step


def _ends(period: Period) -> tuple[datetime, datetime]:
    """Instants between which every night of the period lies, wherever it was."""
    first, last = (datetime.combine(day, time.min, UTC) for day in (period.first, period.last))
    return first - _A_DAY, last + 3 * _A_DAY
