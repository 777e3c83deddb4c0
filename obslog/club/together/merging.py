"""Merging bundles: what other laptops know is taken in, whole or not at all, and the same bundle twice adds nothing."""

from collections import Counter
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.privacy.leaving_members import wiped
from obslog.club.together.forgetting import Forgetting
from obslog.club.together.references import all_to_settle
from obslog.club.together.standing_words import ToSettle
from obslog.errors import WrongInput
from obslog.exchange.bundles.keys import time_of
from obslog.exchange.bundles.reading import Bundle, read_bundle
from obslog.records.bundles.taking_in import TakenIn, take_in
from obslog.records.care.copies_before import copy_before, remove_older, take_back
from obslog.records.database import Database
from obslog.records.driver_errors import files_in_sentences
from obslog.records.engine import file_of
from obslog.records.files.copies import copies_holding
from obslog.records.merging.checks import ValueRefused, kind_words
from obslog.records.merging.disagreements import disagreements
from obslog.records.merging.standing import Why
from obslog.records.tables.base import Base
from obslog.records.tables.column_types import key_of
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Night, Site
from obslog.records.tables.officer import Stocktake
from obslog.records.upgrading import known_revisions


class NoBundleThere(WrongInput):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path} cannot be read: {why}.", "Nothing was taken in. Name the bundle's file.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What came of merging: how many acts, changes and records of batches were new, rows of each kind that came,
    changed and went, which nights were found to be one, how many fields two laptops wrote otherwise, and what is to be
    settled now; `copy` is the file as it was before, `removed` are older such copies that are gone now. `forgotten` are
    the neutral names of members whom another laptop made nameless: their names were taken out here too, and stand in
    `copies` of the file still."""

    done: bool
    files: list[str]
    acts: int
    changes: int
    records: int
    came: dict[str, int]
    changed: dict[str, int]
    went: dict[str, int]
    joined: list[str]
    overwritten: int
    copy: str | None
    removed: list[str]
    to_settle: list[ToSettle]
    forgotten: list[str]
    copies: list[str]


class NewerValue(WrongInput):
    """A value that this version would not let anybody type, from a version that it does not know."""

    def __init__(self, refused: ValueRefused) -> None:
        super().__init__(
            refused.message,
            "A newer version wrote that. Nothing was taken in: update the program here, then merge it again.",
        )


class _OnlyLooked(Exception):
    """Takes back what was only looked at."""


def merge_bundles(
    database: Database, paths: Sequence[Path], now: datetime, *, only_look: bool = False
) -> Merged:
    """Take in what the bundles tell, in one transaction; with `only_look` all is taken back again.

    The file is copied before, and the copy kept where anything came in.
    Raises NoBundleThere, BrokenBundle, ValueRefused, NewerValue, ActNotTold, ActToldOtherwise; then nothing was taken.
    """
    merged: Merged | None = None
    with ExitStack() as files:
        bundles = [_opened(files, path, now) for path in paths]
        copy = None if only_look else copy_before(database, "merge", now)
        forgetting = Forgetting()
        try:
            with database.write(now) as session:
                taken = take_in(session, [bundle.entries for bundle in bundles], forgetting.prepare)
                merged = replace(_merged(session, paths, taken, copy), forgotten=forgetting.neutral)
                if only_look:
                    raise _OnlyLooked
        except _OnlyLooked:
            pass
        except ValueRefused as error:
            if {bundle.manifest.schema for bundle in bundles} <= known_revisions():
                raise
            raise NewerValue(error) from error
        finally:
            if copy is not None and (merged is None or merged.copy is None):
                take_back(copy)
    assert merged is not None
    removed = _older_removed(database, merged.copy, now)
    if forgetting.neutral and not only_look:
        wiped(database)
        merged = replace(merged, copies=copies_holding(database.engine, forgetting.texts))
    return replace(merged, done=not only_look, removed=[str(one) for one in removed])


def _older_removed(database: Database, copy: str | None, now: datetime) -> list[Path]:
    place = file_of(database.engine)
    return remove_older(place, Path(copy), now) if place is not None and copy is not None else []


def _opened(files: ExitStack, path: Path, now: datetime) -> Bundle:
    if path.is_dir():
        raise NoBundleThere(path, "it is a folder")
    with files_in_sentences(str(path)):
        try:
            stream = files.enter_context(path.open("rb"))
        except FileNotFoundError as error:
            raise NoBundleThere(path, "there is no such file") from error
    return read_bundle(stream, max(now, time_of(str(new_key()))), called=path.name)


def _merged(session: Session, paths: Sequence[Path], taken: TakenIn, copy: Path | None) -> Merged:
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
        joined=[*_nights_joined(session, taken), *_stocktakes_joined(session, taken)],
        overwritten=len(disagreements(session)),
        copy=str(copy) if copy is not None and (taken.acts or taken.changes or taken.records) else None,
        removed=[],
        to_settle=all_to_settle(session),
        forgotten=[],
        copies=[],
    )


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
