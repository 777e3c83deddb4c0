"""The annual report on items and kits: how much each was used, what was lost, came and went, and what is with whom."""

from collections.abc import Iterable, Mapping
from datetime import date

from obslog.club.annual.report_records import (
    Acquisition,
    Acquisitions,
    Holding,
    Left,
    LossYear,
    Lost,
    Period,
    Use,
    Utilisation,
    money,
)
from obslog.club.annual.storeroom_year import Owned, Storeroom
from obslog.club.storeroom.custody import Custody, StoreStatus, name_told
from obslog.club.upkeep.utilisation import DayCount, day_count, together
from obslog.records.tables.base import spelt_once
from obslog.vocabulary.storeroom import Acquired

IN_STORE, WITH_MEMBERS, MISSING = "store", "members", "missing"


def utilisation(room: Storeroom, period: Period) -> Utilisation:
    """Days out of days available; what never moved was there for a day at least, and neither lent nor used."""
    counted = [(item, day_count(item.life, period.first, period.last)) for item in (*room.kits, *room.items)]
    there = [(item, days) for item, days in counted if days is None or days.available or days.missing]
    lines = [_use(item, days) for item, days in there]
    still = [
        line
        for line, (item, days) in zip(lines, there, strict=True)
        if days is not None and days.available and not days.out and not item.nights and item.kind != "kit"
    ]
    return Utilisation(
        kits=_all("all kits", counted, kits=True),
        things=_all("all items", counted, kits=False),
        lines=sorted(lines, key=lambda line: -(line.utilisation or 0)),
        never_moved=still,
        unknown_since=sum(days is None for _, days in counted),
    )


def _use(item: Owned, days: DayCount | None) -> Use:
    nights = None if item.kind == "kit" else item.nights
    if days is None:
        return Use(name=item.name, kind=item.kind, loans=item.loans_begun, nights=nights)
    return Use(
        name=item.name,
        kind=item.kind,
        days_out=days.out,
        days_available=days.available,
        utilisation=days.utilisation,
        days_missing=days.missing,
        loans=item.loans_begun,
        nights=nights,
    )


def _all(name: str, counted: Iterable[tuple[Owned, DayCount | None]], *, kits: bool) -> Use:
    mine = [(item, days) for item, days in counted if (item.kind == "kit") is kits and days is not None]
    days = together(found for _, found in mine)
    loans = sum(item.loans_begun for item, _ in mine)
    return Use(
        name=name,
        kind="all",
        days_out=days.out,
        days_available=days.available,
        utilisation=days.utilisation,
        days_missing=days.missing,
        loans=loans,
    )


def losses(room: Storeroom, period: Period) -> LossYear:
    """What went missing in the period and was not written off in it, and what was written off."""
    written_off = [
        Left(
            name=item.name,
            kind=item.kind,
            on=item.now.written_off_on,
            why=item.now.retired_why,
            value=item.value,
        )
        for item in room.items
        if item.now.written_off_on and period.holds(item.now.written_off_on)
    ]
    missing = [
        Lost(
            name=item.name,
            kind=item.kind,
            since=since,
            found_on=found_on,
            given_up_on=None if found_on else _given_up_on(item),
            value=item.value,
        )
        for item in room.items
        if not period.holds(item.now.written_off_on)
        for since, found_on in item.life.absences
        if period.holds(since)
    ]
    labels = [
        Lost(name=label.name, kind="label", since=label.since, given_up_on=label.given_up_on)
        for label in room.missing_labels
        if period.holds(label.since)
    ]
    before = sum(
        _missing_at(item, period.first) and not period.holds(item.now.written_off_on) for item in room.items
    )
    labels_before = sum(
        label.since < period.first and not (label.given_up_on and label.given_up_on < period.first)
        for label in room.missing_labels
    )
    went_missing = sorted([*missing, *labels], key=lambda lost: lost.since)
    return LossYear(
        missing=went_missing,
        missing_value=money(lost.value for lost in missing if lost.still),
        found=sum(lost.found_on is not None for lost in missing),
        given_up=sum(lost.given_up_on is not None for lost in went_missing),
        written_off=written_off,
        written_off_value=money(left.value for left in written_off),
        missing_from_before=before + labels_before,
    )


def _given_up_on(item: Owned) -> date | None:
    """When it was retired or written off, where it is."""
    return min(filter(None, (item.now.retired_on, item.now.written_off_on)), default=None)


def _missing_at(item: Owned, day: date) -> bool:
    """Missing since before the day and not found by then, and not given up before it."""
    gone = any(noted < day and (again is None or again >= day) for noted, again in item.life.gone)
    return not gone and any(
        since < day and (found is None or found >= day) for since, found in item.life.absences
    )


def acquisitions(room: Storeroom, period: Period) -> Acquisitions:
    """What came; of items whose day of coming is unknown there is only the number."""
    came = [
        Acquisition(name=item.name, kind=item.kind, on=item.acquired_on, how=item.acquired, cost=item.cost)
        for item in room.items
        if item.acquired_on and period.holds(item.acquired_on)
    ]
    return Acquisitions(
        things=sorted(came, key=lambda item: item.on),
        cost=money(item.cost for item in came if item.how != Acquired.GIFT),
        gifts=sum(item.how == Acquired.GIFT for item in came),
        unknown_date=sum(item.acquired_on is None for item in room.items if item.in_use),
    )


def retirements(room: Storeroom, period: Period) -> list[Left]:
    """What was retired in the period, kits and items; what was written off by the same act is among the losses."""
    return [
        Left(
            name=item.name, kind=item.kind, on=item.now.retired_on, why=item.now.retired_why, value=item.value
        )
        for item in (*room.kits, *room.items)
        if item.now.retired_on
        and period.holds(item.now.retired_on)
        and item.now.written_off_on != item.now.retired_on
    ]


def holdings(room: Storeroom, *, with_names: bool) -> list[Holding]:
    """Items, and what they are worth, by where they are now: in the store, with members, missing.

    Without names the members are one line, and so are the store's places, whose capitals do not matter. What is retired
    or written off is left out.
    """
    places: dict[tuple[str, str | None], list[Owned]] = {}
    spelt = spelt_once(item.now.place for item in room.items if item.now.place)
    for item in room.items:
        if item.in_use:
            places.setdefault(_where(item.now, spelt, with_names=with_names), []).append(item)
    order = (IN_STORE, WITH_MEMBERS, MISSING)
    return [
        Holding(
            where=where,
            holder=holder,
            holders=len({item.now.holder.member for item in items if item.now.holder}),
            things=len(items),
            value=money(item.value for item in items),
        )
        for (where, holder), items in sorted(
            places.items(), key=lambda place: (order.index(place[0][0]), place[0][1] or "")
        )
    ]


def _where(now: Custody, spelt: Mapping[str, str], *, with_names: bool) -> tuple[str, str | None]:
    """Where it is, and with names the member or the place in the store, as that is spelt for all that lies there."""
    if now.holder is not None:
        return WITH_MEMBERS, name_told(now.holder.member, with_names=with_names)
    if now.status is StoreStatus.MISSING:
        return MISSING, None
    return IN_STORE, spelt[now.place] if with_names and now.place else None
