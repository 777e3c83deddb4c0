"""What came of merging: rows that came, changed and went, what was found to be one, and what is left to settle."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.together.references import all_to_settle
from obslog.club.together.standing_words import ToSettle
from obslog.records.bundles.taking_in import TakenIn
from obslog.records.merging.checks import kind_words
from obslog.records.merging.disagreements import disagreements
from obslog.records.merging.standing import Why
from obslog.records.nameless import has_left
from obslog.records.tables.base import Base
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook_tables import Member, Night, Site
from obslog.records.tables.officer import Stocktake
from obslog.records.tables.storeroom import Contact


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What came of merging: how many acts, changes and records of batches were new, rows of each kind that came,
    changed and went, which nights were found to be one, how many fields two laptops wrote otherwise, and what is to be
    settled now; `copy` is the file as it was before, `removed` are older such copies that are gone now. `forgotten` are
    the neutral names of members whom another laptop made nameless: their names were taken out here too, and stand in
    `copies` of the file still. `contacts_gone` are members whose contact was removed on another laptop."""

    done: bool
    files: list[str]
    acts: int
    changes: int
    records: int
    came: dict[str, int]
    changed: dict[str, int]
    went: dict[str, int]
    contacts_gone: list[str]
    joined: list[str]
    overwritten: int
    copy: str | None
    removed: list[str]
    to_settle: list[ToSettle]
    forgotten: list[str]
    copies: list[str]


def merged_of(session: Session, paths: Sequence[Path], taken: TakenIn, copy: Path | None) -> Merged:
    came, changed, went = Counter(taken.inserted), Counter[str](), Counter[str]()
    for key, after in taken.settled.after.items():
        before = taken.settled.before[key]
        if before is None and after is not None:
            came[key[0]] += 1
        elif before is not None and after is None:
            went[key[0]] += 1
        elif before != after:
            changed[key[0]] += 1
    return Merged(
        done=False,
        files=[path.name for path in paths],
        acts=taken.acts,
        changes=taken.changes,
        records=taken.records,
        came=_worded(came),
        changed=_worded(changed),
        went=_worded(went),
        contacts_gone=_contacts_gone(session, taken),
        joined=[*_nights_joined(session, taken), *_stocktakes_joined(session, taken)],
        overwritten=len(disagreements(session)),
        copy=str(copy) if copy is not None and (taken.acts or taken.changes or taken.records) else None,
        removed=[],
        to_settle=all_to_settle(session),
        forgotten=[],
        copies=[],
    )


def _contacts_gone(session: Session, taken: TakenIn) -> list[str]:
    """The members who are reached no more, by name; not those who left, of whom more is said."""
    settled = taken.settled
    members = {
        key_of(before["member_id"])
        for key, before in settled.before.items()
        if key[0] == Contact.__name__ and before is not None and settled.after[key] is None
        if key not in settled.asides
    }
    names = session.scalars(select(Member.name).where(Member.id.in_(members)).order_by(Member.name))
    return [name for name in names if not has_left(name)]


def _nights_joined(session: Session, taken: TakenIn) -> list[str]:
    """The nights that were on record twice, once from each of two laptops."""
    nights = session.execute(
        select(Night.night_of, Site.name)
        .join(Site, Site.id == Night.site_id)
        .where(Night.id.in_(_that_stay(taken, Night)))
        .order_by(Night.night_of, Site.name)
    )
    return [f"The night of {day} at {name} was on record twice, and is one." for day, name in nights]


def _stocktakes_joined(session: Session, taken: TakenIn) -> list[str]:
    """The stocktakes that were begun on several laptops, and are open."""
    days = session.scalars(
        select(Stocktake.started_on)
        .where(Stocktake.id.in_(_that_stay(taken, Stocktake)))
        .order_by(Stocktake.started_on)
    )
    return [
        f"The stocktake from {day} was begun on another laptop too, and is one with all that was ticked."
        for day in days
    ]


def _that_stay(taken: TakenIn, kind: type[Base]) -> list[UUID]:
    """Those of a kind with which others were found to be one."""
    kept = {
        aside.against
        for (name, _record_id), asides in taken.settled.asides.items()
        if name == kind.__name__
        for aside in asides
        if aside.why is Why.SAME and aside.against is not None
    }
    return [key_of(one) for one in sorted(kept)]


def _worded(counts: Counter[str]) -> dict[str, int]:
    return {kind_words(kind).lower(): count for kind, count in sorted(counts.items()) if count}
