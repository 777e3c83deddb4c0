"""What the page of the store-room shows, from one look at the records."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from obslog.club.overviews.fleet import Fleet, fleet_of
from obslog.club.pages.basis import Basis, Rows, some
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.club_day import club_day
from obslog.club.review.review import Review, review
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.storeroom.loan_pages import LoanLine, line_without_names, list_loans
from obslog.club.storeroom.store_list import StoreLine, StoreList, Worth, is_listed, store_list, worth
from obslog.club.storeroom.waiting_list import WaitingLine, waiting_list, without_names
from obslog.club.upkeep.services_due import DueService, list_due
from obslog.records.database import Database
from obslog.records.tables.base import spelt_once

DAYS_AHEAD = 60
"""So far ahead it is said what will be due for service."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceWorth:
    """What lies in one place, or is on loan, missing or in no place that was noted; and what it is worth."""

    place: str
    items: int
    worth: Worth


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreFacts:
    """The store-room today; borrowers and those who wait are named only `with_names`."""

    day: date
    with_names: bool
    review: Review
    fleet: Fleet
    store: StoreList
    loans: Sequence[LoanLine]
    services_due: Sequence[DueService]
    places: Sequence[PlaceWorth]
    waiting: Sequence[WaitingLine]
    basis: Basis


def store_facts(database: Database, now: datetime, *, with_names: bool) -> StoreFacts:
    """All that the store-room's papers and nights say today."""
    with database.one_look() as look:
        return _facts(look, club_day(look, now), with_names=with_names)


def _facts(database: Database, today: date, *, with_names: bool) -> StoreFacts:
    with database.read() as session:
        fleet = fleet_of(Snapshot(session))
    lines = store_list(database, with_retired=True, with_names=with_names)
    listed = [line for line in lines if is_listed(line)]
    loans, waiting = list_loans(database, today), waiting_list(database)
    return StoreFacts(
        day=today,
        with_names=with_names,
        review=review(database, today, with_names=with_names),
        fleet=fleet,
        store=StoreList.of(database, listed),
        loans=loans if with_names else [line_without_names(loan) for loan in loans],
        services_due=list_due(database, today, DAYS_AHEAD),
        places=places_of(listed),
        waiting=waiting if with_names else without_names(waiting),
        basis=_basis(today, lines, listed, fleet, loans),
    )


def places_of(lines: Sequence[StoreLine]) -> list[PlaceWorth]:
    """Items by where they are: places by their names, then what is out and what is missing. A kit is its parts."""
    groups: dict[tuple[int, str], list[StoreLine]] = {}
    places = spelt_once(_place(line)[1] for line in lines)
    for line in lines:
        if line.kind != "kit":
            order, place = _place(line)
            groups.setdefault((order, places[place]), []).append(line)
    return [
        PlaceWorth(place=place, items=len(those), worth=worth(those))
        for (_, place), those in sorted(groups.items())
    ]


def _place(line: StoreLine) -> tuple[int, str]:
    if line.status is StoreStatus.OUT:
        return 2, "on loan"
    if line.status is StoreStatus.MISSING:
        return 3, "missing"
    return (0, line.place) if line.place else (1, "no place on record")


def _basis(
    today: date,
    lines: Sequence[StoreLine],
    listed: Sequence[StoreLine],
    fleet: Fleet,
    loans: Sequence[LoanLine],
) -> Basis:
    kits = sum(line.kind == "kit" for line in listed)
    return Basis(
        day=today,
        used=some(
            [
                Rows(count=kits, kind="kit"),
                Rows(count=len(listed) - kits, kind="item"),
                Rows(count=len(loans), kind="open loan"),
                Rows(count=sum(line.setups for line in fleet.lines), kind="set-up"),
            ]
        ),
        left_out=some(
            [
                Rows(
                    count=len(lines) - len(listed),
                    kind="kit or item",
                    kinds="kits or items",
                    why="retired or written off",
                )
            ]
        ),
    )
