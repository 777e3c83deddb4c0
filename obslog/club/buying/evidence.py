"""What the records tell of purchases: who waits and waited, how much is used, what is gone and what is missing.

Everything is read once, in a few statements; what is made of it is `wanted.py`'s.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.annual.report_records import Period
from obslog.club.annual.storeroom_year import Owned, read_storeroom
from obslog.club.register.club_day import days_of
from obslog.club.storeroom.custody import Custody, StoreStatus, state_of, state_of_part
from obslog.club.storeroom.loan_parts import could_be_lent
from obslog.club.storeroom.waiting_list import still_waits
from obslog.club.upkeep.utilisation import DayCount, Span, day_count
from obslog.english import counted
from obslog.records.tables.lending import Kit, KitPart, Reservation
from obslog.records.tables.logbook_tables import Equipment, Item, Night

YEAR_DAYS, ASKED_DAYS = 365, 730


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingList:
    """A waiting list that somebody is in: how many wait, the longest for how many days, and where it is.

    `there`: it could be lent now, of a kit what is there of it. `asked` counts the members who asked in the last two
    years, or wait since before, `went_without` those who left the list without it, and neither wait again nor got it.
    `parts` are where those of a kit are.
    """

    name: str
    kind: str
    waiting: int
    longest_days: int
    asked: int
    went_without: int
    there: bool
    parts: frozenset[StoreStatus]
    due_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A kit or item that the club has or had, and its last year. `loose`: in no kit.

    `acquired_on` is when it came, `since` the first day that anything tells of it; without one `days` is None. `lent`
    are all its loans, `loans` how many began in the year.
    """

    name: str
    kind: str
    category: str
    loose: bool
    status: StoreStatus
    missing_since: date | None
    written_off_on: date | None
    why: str | None
    acquired_on: date | None
    since: date | None
    value: float | None
    lent: Sequence[Span]
    loans: int
    nights: int
    days: DayCount | None

    @property
    def in_use(self) -> bool:
        return self.status in (StoreStatus.IN, StoreStatus.OUT)

    def like_it(self, number: int) -> str:
        """`2 eyepieces`, `2 items of the category battery`: a club's own word has a plural that only it knows."""
        if self.kind == "item":
            return f"{counted(number, 'item')} of the category {self.category}"
        return counted(number, self.category)

    def loans_before(self, day: date) -> int:
        """How many loans began in the year that ended with that day."""
        return sum(day - timedelta(days=YEAR_DAYS) < begun <= day for begun, _ in self.lent)

    def loans_open_before(self, day: date) -> int:
        """How many it was out on in that year, also those that began before it."""
        first = day - timedelta(days=YEAR_DAYS - 1)
        return sum(begun <= day and (back is None or back >= first) for begun, back in self.lent)


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingEvidence:
    """All of it, for the year that ends today; `nights` are those on which the club was out."""

    today: date
    period: Period
    nights: int
    queues: list[WaitingList]
    stock: list[Stock]


def evidence(session: Session, today: date) -> BuyingEvidence:
    """What the records tell on that day."""
    period = Period(today - timedelta(days=YEAR_DAYS - 1), today)
    room = read_storeroom(session, period)
    categories, in_kits = _categories(session), _in_kits(session)
    nights = select(func.count(func.distinct(Night.night_of))).where(
        Night.night_of.between(period.first, period.last)
    )
    return BuyingEvidence(
        today=today,
        period=period,
        nights=session.scalar(nights) or 0,
        queues=_queues(session, today),
        stock=[_stock(owned, categories, in_kits, period) for owned in (*room.kits, *room.items)],
    )


def _stock(
    owned: Owned, categories: Mapping[str, str], in_kits: set[tuple[str, str]], period: Period
) -> Stock:
    return Stock(
        name=owned.name,
        kind=owned.kind,
        category=categories.get(owned.name, owned.kind) if owned.kind == "item" else owned.kind,
        loose=(owned.kind, owned.name) not in in_kits,
        status=owned.now.status,
        missing_since=owned.now.missing_since,
        written_off_on=owned.now.written_off_on,
        why=owned.now.retired_why,
        acquired_on=owned.acquired_on,
        since=owned.life.since,
        value=owned.value,
        lent=owned.life.loans,
        loans=owned.loans_begun,
        nights=owned.nights,
        days=day_count(owned.life, period.first, period.last),
    )


def _categories(session: Session) -> dict[str, str]:
    """The category of each other item, by its name, which is one item's alone."""
    return dict(session.execute(select(Item.name, Item.sort)).all())


def _in_kits(session: Session) -> set[tuple[str, str]]:
    query = (
        select(Equipment.kind, Equipment.name)
        .join(KitPart, KitPart.equipment_id == Equipment.id)
        .where(KitPart.left_on.is_(None))
    )
    return {(kind, name) for kind, name in session.execute(query)}


def _where_parts_are(session: Session, state: Mapping[UUID, Custody]) -> dict[UUID, set[StoreStatus]]:
    """Where the parts of each kit are, by its key."""
    found: dict[UUID, set[StoreStatus]] = {}
    for part in session.scalars(select(KitPart).where(KitPart.left_on.is_(None))):
        found.setdefault(part.kit_id, set()).add(state_of_part(part, state).status)
    return found


def _queues(session: Session, today: date) -> list[WaitingList]:
    """The lists in which somebody waits, by the name of what is waited for."""
    query = (
        select(Reservation, Kit.name, Equipment.name, Equipment.kind)
        .outerjoin(Kit, Reservation.kit_id == Kit.id)
        .outerjoin(Equipment, Reservation.equipment_id == Equipment.id)
        .order_by(Reservation.asked_utc, Reservation.id)
    )
    lists: dict[tuple[UUID, str, str], list[Reservation]] = {}
    for place, of_kit, of_item, kind in session.execute(query):
        key = place.kit_id or place.equipment_id
        assert key is not None  # the table's own check: one of the two
        lists.setdefault((key, of_kit or of_item, kind or "kit"), []).append(place)
    state, day_of = state_of(session) if lists else {}, days_of(session)
    there, parts = (could_be_lent(session, state), _where_parts_are(session, state)) if lists else (set(), {})
    waits, found = set(session.scalars(select(Reservation.id).where(still_waits()))), []
    for (key, name, kind), places in lists.items():
        waiting = [place for place in places if place.id in waits]
        recent = [place for place in places if (today - day_of(place.asked_utc)).days < ASKED_DAYS]
        newest = {place.member_id: place for place in recent}
        if waiting:
            holder = state[key].holder
            found.append(
                WaitingList(
                    name=name,
                    kind=kind,
                    waiting=len(waiting),
                    longest_days=max((today - day_of(place.asked_utc)).days for place in waiting),
                    asked=len({place.member_id for place in (*waiting, *recent)}),
                    went_without=sum(place.id not in waits and not place.served for place in newest.values()),
                    there=key in there,
                    parts=frozenset(parts.get(key, ())),
                    due_on=holder.due_on if holder else None,
                )
            )
    return sorted(found, key=lambda queue: (queue.name.casefold(), queue.kind))
