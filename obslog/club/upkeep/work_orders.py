"""Work orders: the open snags of equipment, put together by item and step; and their mending by a service."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.snags import day_there, snag_of
from obslog.club.register.club_day import days_of, end_of_day
from obslog.club.register.things import thing_named
from obslog.club.routine.club_steps import steps_in_force
from obslog.club.upkeep.nights_of_use import nights_last_year
from obslog.errors import WrongInput, quoted
from obslog.records.database import Database
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import Equipment, Service, Snag
from obslog.records.tables.storeroom import MendedSnag
from obslog.vocabulary.steps import StepKey


class SnagOfAnother(WrongInput):
    def __init__(self, reference: str, name: str) -> None:
        super().__init__(
            f"The snag {reference} is not one of {name}.", "See the references by item: obslog service orders"
        )


class SnagIsMended(WrongInput):
    def __init__(self, reference: str, on: date) -> None:
        super().__init__(
            f"The snag {reference} was mended on {on}.", "See what is open: obslog service orders"
        )


class NoOpenSnags(WrongInput):
    def __init__(self, step: str, name: str, day: date) -> None:
        super().__init__(
            f"{name} had no open snag at the step {step} on {day}.",
            f"See what is open: obslog service orders {quoted(name)}",
        )


@dataclass(frozen=True, slots=True)
class Said:
    """What was said of a snag, and how often in the same words."""

    text: str
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkOrder:
    """The open snags of an item at one step; `reference` is of the newest, `said` has the newest words first.

    `persons_step` marks a step that people do whatever the item, such as keying in.
    """

    reference: str
    name: str
    kind: str
    step: StepKey
    since: date
    newest: date
    times: int
    members: int
    said: list[Said]
    references: list[str]
    persons_step: bool
    nights_last_year: int


def work_orders(database: Database, today: date, name: str | None = None) -> list[WorkOrder]:
    """The work orders of all equipment in use, or of the item of that name.

    Those at the item's own steps come first, then what affects the most nights of use, then the most frequent.
    Raises UnknownName, WhichKind.
    """
    query = (
        select(Snag, Equipment)
        .join(Equipment, Snag.equipment_id == Equipment.id)
        .where(Snag.fixed_utc.is_(None), Equipment.retired_on.is_(None))
        .order_by(Snag.at_utc.desc(), Snag.id.desc())
    )
    with database.read() as session:
        if name is not None:
            query = query.where(Equipment.id == thing_named(session, name).id)
        items: dict[UUID, Equipment] = {}
        grouped: dict[tuple[UUID, StepKey], list[Snag]] = {}
        for snag, item in session.execute(query):
            items[item.id] = item
            grouped.setdefault((item.id, snag.step), []).append(snag)
        nights, steps = nights_last_year(session, today), steps_in_force(session)
        orders = [
            _order(session, items[key], step, snags, nights.get(key, 0), persons_step=steps.of_people(step))
            for (key, step), snags in grouped.items()
        ]
    return sorted(orders, key=lambda order: (order.persons_step, -order.nights_last_year, -order.times))


def _order(
    session: Session,
    item: Equipment,
    step: StepKey,
    snags: Sequence[Snag],
    nights: int,
    *,
    persons_step: bool,
) -> WorkOrder:
    """The snags come newest first; their days are those of their sites."""
    return WorkOrder(
        reference=reference_of(snags[0].id),
        name=item.name,
        kind=item.kind,
        step=step,
        since=day_there(session, snags[-1]),
        newest=day_there(session, snags[0]),
        times=len(snags),
        members=len({snag.member_id for snag in snags if snag.member_id is not None}),
        said=[Said(text, times) for text, times in Counter(snag.text for snag in snags).items()],
        references=[reference_of(snag.id) for snag in snags],
        persons_step=persons_step,
        nights_last_year=nights,
    )


def snags_meant(session: Session, item: Equipment, handles: Sequence[str], day: date) -> list[Snag]:
    """The snags of an item by their references, or by a step all that were open by that day; each once.

    Raises NoSuchSnag, SnagOfAnother, SnagIsMended, NoOpenSnags.
    """
    found: dict[str, Snag] = {}
    steps = set(steps_in_force(session).known)
    for handle in handles:
        word = handle.strip().casefold()
        snags = _at_step(session, item, word, day) if word in steps else [_referred_to(session, item, word)]
        found |= {str(snag.id): snag for snag in snags}
    return list(found.values())


def _at_step(session: Session, item: Equipment, step: StepKey, day: date) -> list[Snag]:
    query = (
        select(Snag)
        .where(Snag.equipment_id == item.id, Snag.step == step, Snag.fixed_utc.is_(None))
        .order_by(Snag.at_utc)
    )
    snags = [snag for snag in session.scalars(query) if day_there(session, snag) <= day]
    if not snags:
        raise NoOpenSnags(step, item.name, day)
    return snags


def _referred_to(session: Session, item: Equipment, reference: str) -> Snag:
    snag = snag_of(session, reference)
    if snag.equipment_id != item.id:
        raise SnagOfAnother(reference, item.name)
    if snag.fixed_utc is not None:
        raise SnagIsMended(reference, days_of(session)(snag.fixed_utc))
    return snag


def mend(session: Session, service: Service, snags: Sequence[Snag], now: datetime) -> None:
    """Close the snags with the service's words as their remedy, and keep which service it was."""
    latest = min(now, end_of_day(session, service.done_on))
    for snag in snags:
        snag.fixed_utc, snag.remedy = max(latest, snag.at_utc), service.text
        session.add(MendedSnag(service_id=service.id, snag_id=snag.id))
