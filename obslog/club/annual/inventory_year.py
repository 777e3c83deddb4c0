"""The annual report on things: how much each was used, what was lost, came and went, and what is with whom."""

from collections.abc import Iterable
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
from obslog.club.annual.storeroom_year import Storeroom, Thing
from obslog.club.storeroom.utilisation import DayCount, day_count, together
from obslog.vocabulary import Acquired

IN_STORE, WITH_MEMBERS, MISSING = "store", "members", "missing"


def utilisation(room: Storeroom, period: Period) -> Utilisation:
    """Days out of days available; things never moved were there for a day at least, and neither lent nor used."""
    counted = [
        (thing, day_count(thing.life, period.first, period.last)) for thing in (*room.kits, *room.things)
    ]
    there = [(thing, days) for thing, days in counted if days is None or days.available or days.missing]
    lines = [_use(thing, days) for thing, days in there]
    still = [
        line
        for line, (thing, days) in zip(lines, there, strict=True)
        if days is not None and days.available and not days.out and not thing.nights and thing.kind != "kit"
    ]
    return Utilisation(
        _all("all kits", counted, kits=True),
        _all("all things", counted, kits=False),
        sorted(lines, key=lambda line: -(line.utilisation or 0)),
        still,
        sum(days is None for _, days in counted),
    )


def _use(thing: Thing, days: DayCount | None) -> Use:
    nights = None if thing.kind == "kit" else thing.nights
    if days is None:
        return Use(thing.name, thing.kind, None, None, None, None, thing.loans_begun, nights)
    return Use(
        thing.name, thing.kind, days.out, days.available, days.utilisation, days.missing, thing.loans_begun, nights
    )  # fmt: skip


def _all(name: str, counted: Iterable[tuple[Thing, DayCount | None]], *, kits: bool) -> Use:
    mine = [(thing, days) for thing, days in counted if (thing.kind == "kit") is kits and days is not None]
    days = together(found for _, found in mine)
    loans = sum(thing.loans_begun for thing, _ in mine)
    return Use(name, "all", days.out, days.available, days.utilisation, days.missing, loans, None)


def losses(room: Storeroom, period: Period) -> LossYear:
    """What went missing in the period and was not written off in it, and what was written off."""
    written_off = [
        Left(thing.name, thing.kind, thing.written_off_on, thing.retired_why, thing.value)
        for thing in room.things
        if thing.written_off_on and period.holds(thing.written_off_on)
    ]
    missing = [
        Lost(thing.name, thing.kind, since, found_on, thing.value)
        for thing in room.things
        if not period.holds(thing.written_off_on)
        for since, found_on in thing.life.absences
        if period.holds(since)
    ]
    labels = [
        Lost(label, "label", since, None, None) for label, since in room.missing_labels if period.holds(since)
    ]
    before = sum(
        _missing_at(thing, period.first) and not period.holds(thing.written_off_on) for thing in room.things
    )
    return LossYear(
        sorted([*missing, *labels], key=lambda lost: lost.since),
        money(lost.value for lost in (*missing, *labels) if lost.found_on is None),
        sum(lost.found_on is not None for lost in missing),
        written_off,
        money(left.value for left in written_off),
        before + sum(since < period.first for _, since in room.missing_labels),
    )


def _missing_at(thing: Thing, day: date) -> bool:
    """Missing since before the day and not found by then, and not given up before it."""
    gone = any(noted < day and (again is None or again >= day) for noted, again in thing.life.gone)
    return not gone and any(
        since < day and (found is None or found >= day) for since, found in thing.life.absences
    )


def acquisitions(room: Storeroom, period: Period) -> Acquisitions:
    """What came; of things whose day of coming is unknown there is only the number."""
    came = [
        Acquisition(thing.name, thing.kind, thing.acquired_on, thing.acquired, thing.cost)
        for thing in room.things
        if thing.acquired_on and period.holds(thing.acquired_on)
    ]
    return Acquisitions(
        sorted(came, key=lambda thing: thing.on),
        money(thing.cost for thing in came if thing.how != Acquired.GIFT),
        sum(thing.how == Acquired.GIFT for thing in came),
        sum(thing.acquired_on is None for thing in room.things if thing.in_use),
    )


def retirements(room: Storeroom, period: Period) -> list[Left]:
    """What was retired in the period, kits and things; what was written off by the same act is among the losses."""
    return [
        Left(thing.name, thing.kind, thing.retired_on, thing.retired_why, thing.value)
        for thing in (*room.kits, *room.things)
        if thing.retired_on and period.holds(thing.retired_on) and thing.written_off_on != thing.retired_on
    ]


def holdings(room: Storeroom, *, with_names: bool) -> list[Holding]:
    """Things, and what they are worth, by where they are now: in the store, with members, missing.

    Without names the members are one line, and so are the store's places. What is retired or written off is left out.
    """
    places: dict[tuple[str, str | None], list[Thing]] = {}
    for thing in room.things:
        if thing.in_use:
            where, holder = _where(thing)
            places.setdefault((where, holder if with_names else None), []).append(thing)
    order = (IN_STORE, WITH_MEMBERS, MISSING)
    return [
        Holding(
            where,
            holder,
            len({thing.holder for thing in things if where == WITH_MEMBERS}),
            len(things),
            money(thing.value for thing in things),
        )
        for (where, holder), things in sorted(
            places.items(), key=lambda place: (order.index(place[0][0]), place[0][1] or "")
        )
    ]


def _where(thing: Thing) -> tuple[str, str | None]:
    if thing.holder is not None:
        return WITH_MEMBERS, thing.holder
    if any(found is None for _, found in thing.life.absences):
        return MISSING, None
    return IN_STORE, thing.place
