"""The review of the store-room: each item ready, to be watched, for service, out or retired, and why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.kit_contents import items_of_kits
from obslog.club.performance.mount_levels import with_tube_words
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.rule_book import Rules, rules_in_force
from obslog.club.register.things import kind_word, lendable
from obslog.club.review.enough_to_judge import wanting_to_judge
from obslog.club.review.mount_evidence import Evidence, gather, read_nights
from obslog.club.review.storeroom_evidence import standings
from obslog.club.review.verdict_rules import mount_reasons, standing_reasons
from obslog.club.review.verdicts import (
    MountEvidence,
    Reason,
    Status,
    StoreroomEvidence,
    Wanting,
    ranked,
    status_of,
)
from obslog.records.database import Database
from obslog.records.tables.lending import Kit
from obslog.records.tables.logbook_tables import Equipment
from obslog.values import Estimate, Interval

NIGHTLESS = MountEvidence()
CARRIES_OVER = (Status.WATCH, Status.SERVICE)
ORDER = {"mount": 0, "tube": 1, "eyepiece": 2, "item": 3}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reviewed:
    """One item: its status, reasons with the gravest first, effect (mounts, and kits by theirs), and use.

    The effect of a mount that had several tubes is with that of today, `tube`.
    `judged`: whether its mount, if it has one, had set-ups and observers enough for a verdict; `wanting` what it wants
    before it is judged.
    """

    name: str
    kind: str
    status: Status
    reasons: list[Reason]
    effect: Interval | None
    setups_last_year: int
    judged: bool
    wanting: Wanting | None = None
    tube: str | None = None

    @property
    def with_tube(self) -> str:
        """With which tube its effect is, where the mount had several: ` with Long tube`."""
        return with_tube_words(self.tube) if self.tube else ""


@dataclass(frozen=True, slots=True)
class Review:
    """How much of the club's landing errors is whose, and all items, mounts and kits first."""

    shares: Mapping[str, Estimate]
    items: list[Reviewed]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewBasis:
    """All that a review is made from, as it stood at one reading; `parts` of a kit are keys of items."""

    rules: Rules
    evidence: Evidence
    papers: Mapping[UUID, StoreroomEvidence]
    things: Sequence[Equipment]
    kits: Sequence[Kit]
    parts: Mapping[UUID, Sequence[UUID]]


def review(database: Database, today: date, *, with_names: bool = False) -> Review:
    """Judge everything on record; who has what is told only `with_names`."""
    with database.read() as session:
        record = _read(session, today, with_names=with_names)
    return _judged(record, today)


def review_of(
    database: Database, name: str, today: date, kind: str | None = None, *, with_names: bool = False
) -> Reviewed:
    """Judge one kit or item; the verdict allows for having looked at all. Raises UnknownName, WhichKind."""
    with database.read() as session:
        what = lendable(session, name, kind)
        return reviewed(session, what, today, with_names=with_names)


def reviewed(
    session: Session,
    what: Kit | Equipment,
    today: date,
    *,
    with_names: bool = False,
    snapshot: Snapshot | None = None,
) -> Reviewed:
    """The verdict on one kit or item, in a session that is open already, and from its snapshot where it has one."""
    wanted = (what.name, kind_word(what))
    record = _read(session, today, with_names=with_names, snapshot=snapshot)
    return next(item for item in _judged(record, today).items if (item.name, item.kind) == wanted)


def for_service(session: Session, today: date) -> set[tuple[str, str]]:
    """The kits and items that are in the store, but for service; by kind and name."""
    items = _judged(_read(session, today, with_names=False), today).items
    return {(item.kind, item.name) for item in items if item.status is Status.SERVICE}


def _read(
    session: Session, today: date, *, with_names: bool, snapshot: Snapshot | None = None
) -> ReviewBasis:
    rules = rules_in_force(session)
    return ReviewBasis(
        rules=rules,
        evidence=gather(read_nights(session, rules, today, snapshot)),
        papers=standings(session, today, with_names=with_names),
        things=sorted(
            session.scalars(select(Equipment)), key=lambda thing: (ORDER[thing.kind], thing.name_key)
        ),
        kits=session.scalars(select(Kit).order_by(Kit.name_key)).all(),
        parts=items_of_kits(session),
    )


def _judged(record: ReviewBasis, today: date) -> Review:
    evidence = record.evidence
    judged = {thing.id: _thing(thing, record, evidence, today) for thing in record.things}
    kits = [_kit(kit, record, judged, today) for kit in record.kits]
    items = list(judged.values())
    mounts = [item for item in items if item.kind == "mount"]
    return Review(evidence.shares, [*mounts, *kits, *(item for item in items if item.kind != "mount")])


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


def _thing(thing: Equipment, record: ReviewBasis, evidence: Evidence, today: date) -> Reviewed:
    rules = record.rules
    reasons = list(standing_reasons(record.papers[thing.id], rules, today))
    nights = evidence.mounts.get(thing.id, NIGHTLESS)
    wanting = wanting_to_judge(nights, rules) if thing.kind == "mount" else None
    if thing.kind == "mount" and thing.retired_on is None:
        reasons += mount_reasons(thing.name, nights, rules)
    return Reviewed(
        name=thing.name,
        kind=thing.kind,
        status=status_of(reasons),
        reasons=ranked(reasons),
        effect=nights.effect,
        setups_last_year=nights.setups_last_year,
        judged=wanting is None,
        wanting=wanting,
        tube=nights.tube,
    )


def _kit(kit: Kit, record: ReviewBasis, judged: Mapping[UUID, Reviewed], today: date) -> Reviewed:
    """A kit is as good as its parts: what speaks against one of them speaks against the kit."""
    reasons = list(standing_reasons(record.papers[kit.id], record.rules, today))
    parts = [judged[key] for key in record.parts.get(kit.id, ())]
    if kit.retired_on is None:
        reasons += [
            Reason(reason.status, reason.weight, f"{part.name}: {reason.words}", reason.numbers)
            for part in parts
            for reason in part.reasons
            if reason.status in CARRIES_OVER
        ]
    mount = next((part for part in parts if part.kind == "mount" and part.status is not Status.RETIRED), None)
    return Reviewed(
        name=kit.name,
        kind="kit",
        status=status_of(reasons),
        reasons=ranked(reasons),
        effect=mount.effect if mount else None,
        setups_last_year=mount.setups_last_year if mount else 0,
        judged=mount.judged if mount else True,
        wanting=mount.wanting if mount else None,
        tube=mount.tube if mount else None,
    )
