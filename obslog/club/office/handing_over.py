"""All that a successor in the office needs: what is out, due, broken, missing and waited for, and where all lies."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from obslog.club.night.snags import SnagLine, list_snags
from obslog.club.office.health import RecordsHealth, records_health
from obslog.club.privacy.leavers import Leaver, list_leavers
from obslog.club.register.club_day import club_day
from obslog.club.register.rule_book import RuleLine, list_rules
from obslog.club.review.review import review
from obslog.club.review.verdicts import Status
from obslog.club.routine.club_routine import RoutineStanding, routine_standing
from obslog.club.storeroom.kits import KitPage, list_kits
from obslog.club.storeroom.loan_pages import LoanLine, list_loans
from obslog.club.storeroom.store_list import StoreLine, store_list
from obslog.club.storeroom.waiting_list import WaitingLine, waiting_list
from obslog.club.upkeep.services_due import DueService, list_due
from obslog.records.database import Database
from obslog.records.engine import file_of
from obslog.records.looking.copies_known import DatabasesBeside, databases_beside

DUE_WITHIN_DAYS = 90
"""Services that fall due in the first months of a new officer are told too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForService:
    """An item that the review finds for service, and why; `since` the day on which it was seen to be damaged."""

    name: str
    kind: str
    since: date | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver:
    """The office as it stands: borrowers and who waits by name; of passwords and contacts nothing.

    `for_service` is what came back damaged, and what else the review finds beside `services` that are due.

    `where` is the database, on a server without its password; `copies` lie beside its file, and so do
    `perhaps_copies`, of which nobody knows whether they are.
    """

    day: date
    out: Sequence[LoanLine]
    broken: Sequence[SnagLine]
    for_service: Sequence[ForService]
    missing: Sequence[StoreLine]
    incomplete: Sequence[KitPage]
    waiting: Sequence[WaitingLine]
    services: Sequence[DueService]
    leavers_due: Sequence[Leaver]
    rules: Sequence[RuleLine]
    routine: RoutineStanding
    health: RecordsHealth
    where: str
    copies: Sequence[str]
    perhaps_copies: Sequence[str]


def handed_over(database: Database, now: datetime) -> HandedOver:
    """Read everything that is handed over."""
    today = club_day(database, now)
    items = {line.name for line in store_list(database)}
    services = list_due(database, today, DUE_WITHIN_DAYS)
    place = file_of(database.engine)
    beside = databases_beside(place) if place else DatabasesBeside([], [])
    return HandedOver(
        day=today,
        out=list_loans(database, today),
        for_service=list(_for_service(database, today, services)),
        broken=[snag for snag in list_snags(database) if snag.about in items],
        missing=store_list(database, missing=True),
        incomplete=[kit for kit in list_kits(database, with_names=True) if not kit.complete],
        waiting=waiting_list(database),
        services=services,
        leavers_due=[leaver for leaver in list_leavers(database, now) if leaver.due],
        routine=routine_standing(database),
        rules=[rule for rule in list_rules(database) if rule.own],
        health=records_health(database),
        where=str(place.resolve()) if place else database.where,
        copies=[str(copy) for copy in beside.copies],
        perhaps_copies=[str(copy) for copy in beside.not_known],
    )


def _for_service(database: Database, today: date, services: Sequence[DueService]) -> Iterator[ForService]:
    """What speaks for service beside a service or a battery that is due; a kit says what its items say."""
    due = {(one.kind, one.name, one.words) for one in services}
    for item in review(database, today).items:
        for reason in item.reasons if item.kind != "kit" else []:
            told = (item.kind, item.name, reason.words) in due or "capacity_percent" in reason.numbers
            if reason.status is Status.SERVICE and not told:
                since = reason.numbers.get("on")
                yield ForService(
                    name=item.name,
                    kind=item.kind,
                    since=since if isinstance(since, date) else None,
                    words=reason.words,
                )
