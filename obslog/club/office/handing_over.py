"""All that a successor in the office needs: what is out, due, broken, missing and waited for, and where all lies."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from obslog.club.night.snags import SnagLine, list_snags
from obslog.club.office.health import RecordsHealth, records_health
from obslog.club.privacy.leavers import Leaver, list_leavers
from obslog.club.register.club_day import club_day
from obslog.club.register.rule_book import RuleLine, list_rules
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
class HandedOver:
    """The office as it stands: borrowers and who waits by name; of passwords and contacts nothing.

    `where` is the database, on a server without its password; `copies` lie beside its file, and so do
    `perhaps_copies`, of which nobody knows whether they are.
    """

    day: date
    out: Sequence[LoanLine]
    broken: Sequence[SnagLine]
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
    place = file_of(database.engine)
    beside = databases_beside(place) if place else DatabasesBeside([], [])
    return HandedOver(
        day=today,
        out=list_loans(database, today),
        broken=[snag for snag in list_snags(database) if snag.about in items],
        missing=store_list(database, missing=True),
        incomplete=[kit for kit in list_kits(database, with_names=True) if not kit.complete],
        waiting=waiting_list(database),
        services=list_due(database, today, DUE_WITHIN_DAYS),
        leavers_due=[leaver for leaver in list_leavers(database, now) if leaver.due],
        routine=routine_standing(database),
        rules=[rule for rule in list_rules(database) if rule.own],
        health=records_health(database),
        where=str(place.resolve()) if place else database.where,
        copies=[str(copy) for copy in beside.copies],
        perhaps_copies=[str(copy) for copy in beside.not_known],
    )
