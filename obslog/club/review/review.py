"""The review of the store-room: each thing ready, to be watched, for service, out or retired, and why."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.performance.error_sources import Share
from obslog.club.register.rule_book import Rules, rules_in_force
from obslog.club.register.things import kind_word, lendable
from obslog.club.review.mount_evidence import Evidence, gather
from obslog.club.review.storeroom_evidence import standings
from obslog.club.review.verdict_rules import enough_to_judge, mount_reasons, standing_reasons
from obslog.club.review.verdicts import Effect, MountEvidence, Reason, Standing, Status, ranked, status_of
from obslog.records.opening import Database
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment

NIGHTLESS = MountEvidence(0, 0, None, 0)
CARRIES_OVER = (Status.WATCH, Status.SERVICE)
ORDER = {"mount": 0, "tube": 1, "eyepiece": 2, "item": 3}


@dataclass(frozen=True, slots=True)
class Reviewed:
    """One thing: its status, reasons with the gravest first, effect (mounts, and kits by theirs), and use.

    `judged`: whether its mount, if it has one, had set-ups and observers enough for a verdict.
    """

    name: str
    kind: str
    status: Status
    reasons: list[Reason]
    effect: Effect | None
    setups_last_year: int
    judged: bool


@dataclass(frozen=True, slots=True)
class Review:
    """The split of the club's landing errors, and all things, mounts and kits first."""

    attribution: Mapping[str, Share]
    items: list[Reviewed]


def review(database: Database, today: date, *, with_names: bool = False) -> Review:
    """Judge everything on record; who has what is told only `with_names`."""
    with database.read() as session:
        rules = rules_in_force(session)
    evidence = gather(database, rules, today)
    with database.read() as session:
        papers = standings(session, today, with_names=with_names)
        things = sorted(
            session.scalars(select(Equipment)), key=lambda thing: (ORDER[thing.kind], thing.name_key)
        )
        judged = {thing.id: _thing(thing, papers[thing.id], evidence, rules, today) for thing in things}
        kits = [
            _kit(session, kit, papers[kit.id], judged, rules, today)
            for kit in session.scalars(select(Kit).order_by(Kit.name_key))
        ]
    items = list(judged.values())
    mounts = [item for item in items if item.kind == "mount"]
    return Review(evidence.attribution, [*mounts, *kits, *(item for item in items if item.kind != "mount")])


def review_of(
    database: Database, name: str, today: date, kind: str | None = None, *, with_names: bool = False
) -> Reviewed:
    """Judge one kit or thing; the verdict allows for having looked at all. Raises UnknownName, WhichKind."""
    with database.read() as session:
        what = lendable(session, name, kind)
        wanted = (what.name, kind_word(what))
    judged = review(database, today, with_names=with_names)
    return next(item for item in judged.items if (item.name, item.kind) == wanted)


def by_gravity(found: Review) -> list[tuple[Status, list[Reviewed]]]:
    """What wants work first, then what is out, ready and retired; within each the most used of the last year first."""
    groups = {
        status: sorted(
            (item for item in found.items if item.status is status),
            key=lambda item: -item.setups_last_year if status in CARRIES_OVER else 0,
        )
        for status in (Status.SERVICE, Status.WATCH, Status.OUT, Status.READY, Status.RETIRED)
    }
    return [(status, items) for status, items in groups.items() if items]


def _thing(thing: Equipment, standing: Standing, evidence: Evidence, rules: Rules, today: date) -> Reviewed:
    reasons = list(standing_reasons(standing, rules, today))
    nights = evidence.mounts.get(thing.name, NIGHTLESS) if thing.kind == "mount" else NIGHTLESS
    if thing.kind == "mount" and thing.retired_on is None:
        reasons += mount_reasons(thing.name, nights, rules)
    return Reviewed(
        thing.name,
        thing.kind,
        status_of(reasons),
        ranked(reasons),
        nights.effect,
        nights.setups_last_year,
        thing.kind != "mount" or enough_to_judge(nights, rules),
    )


def _kit(
    session: Session,
    kit: Kit,
    standing: Standing,
    judged: Mapping[UUID, Reviewed],
    rules: Rules,
    today: date,
) -> Reviewed:
    """A kit is as good as its parts: what speaks against one of them speaks against the kit."""
    reasons = list(standing_reasons(standing, rules, today))
    query = select(KitPart.equipment_id).where(KitPart.kit_id == kit.id, KitPart.left_on.is_(None))
    parts = [judged[key] for key in session.scalars(query) if key is not None]
    if kit.retired_on is None:
        reasons += [
            Reason(reason.status, reason.weight, f"{part.name}: {reason.words}", reason.evidence)
            for part in parts
            for reason in part.reasons
            if reason.status in CARRIES_OVER
        ]
    mount = next((part for part in parts if part.kind == "mount"), None)
    return Reviewed(
        kit.name,
        "kit",
        status_of(reasons),
        ranked(reasons),
        mount.effect if mount else None,
        mount.setups_last_year if mount else 0,
        mount.judged if mount else True,
    )
