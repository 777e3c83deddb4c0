"""Evidence made by hand, for what is concluded from it."""

from datetime import date, timedelta
from typing import Any

from obslog.club.annual.report_records import Period
from obslog.club.buying.evidence import BuyingEvidence, Stock, WaitingList
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.upkeep.utilisation import DayCount

TODAY = date(2026, 3, 31)


def days_ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def stock(name: str, **changed: Any) -> Stock:
    """An item in the store for the whole year, never lent, and all that is said otherwise."""
    values: dict[str, Any] = {
        "name": name, "kind": "eyepiece", "category": "eyepiece", "loose": True, "status": StoreStatus.IN,
        "missing_since": None, "written_off_on": None, "why": None, "acquired_on": date(2020, 1, 1),
        "since": date(2020, 1, 1), "value": None, "lent": [], "loans": 0, "nights": 0,
        "days": DayCount(out=0, in_store=365, missing=0, gone=0, before=0),
    }  # fmt: skip
    return Stock(**(values | changed))


def out_for(days: int, loans: int, of: int = 365) -> dict[str, Any]:
    """So many days out, in so many loans that began in the year, of so many days on record."""
    return {
        "days": DayCount(out=days, in_store=of - days, missing=0, gone=0, before=365 - of),
        "loans": loans,
        "lent": [(days_ago(place), days_ago(place)) for place in range(loans)],
    }


def queue(name: str, **changed: Any) -> WaitingList:
    """Three members asked for it, one waits for ten days; it is out and not yet due."""
    values: dict[str, Any] = {
        "name": name, "kind": "eyepiece", "waiting": 1, "longest_days": 10, "asked": 3, "went_without": 0,
        "there": False, "parts": frozenset(), "due_on": TODAY,
    }  # fmt: skip
    return WaitingList(**(values | changed))


def evidence_of(*all_stock: Stock, queues: tuple[WaitingList, ...] = (), nights: int = 0) -> BuyingEvidence:
    return BuyingEvidence(
        today=TODAY,
        period=Period(days_ago(364), TODAY),
        nights=nights,
        queues=list(queues),
        stock=list(all_stock),
    )
