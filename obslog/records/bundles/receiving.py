"""Of what bundles tell only what is not known yet is left; what no program writes, or lacks its act, is refused."""

import json
import re
from collections.abc import Collection
from typing import TypeVar

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.errors import WrongInput
from obslog.exchange.bundles.entries import ActEntry, ChangeEntry
from obslog.records.bundles.told import Batch, Told
from obslog.records.merging.row_images import by_many
from obslog.records.tables.column_types import key_of, stored_utc
from obslog.records.tables.logbook import Act, Change, ChangeBatch

E = TypeVar("E", ChangeEntry, Batch)
_KIND = re.compile("[A-Za-z]{1,100}")


class ActNotTold(WrongInput):
    def __init__(self, act_id: str) -> None:
        super().__init__(
            f"The bundle tells of act {act_id[-6:]}, which neither it nor this database holds.",
            "Nothing was taken in. Ask for a bundle of everything: obslog bundle write --all FILE",
        )


class ActToldOtherwise(WrongInput):
    def __init__(self, act_id: str) -> None:
        super().__init__(
            f"The bundle tells of act {act_id[-6:]} otherwise than this database.",
            "Nothing was taken in. An act is never rewritten: ask whoever wrote the bundle where it is from.",
        )


class ActOutOfOrder(WrongInput):
    def __init__(self, act_id: str) -> None:
        super().__init__(
            f"In the bundle act {act_id[-6:]} takes back an act that is later than itself.",
            "Nothing was taken in. No program writes this: ask whoever wrote the bundle where it is from.",
        )


class StrangeKind(WrongInput):
    def __init__(self, kind: str) -> None:
        super().__init__(
            f"The bundle tells of a kind of record with the name {kind[:40]!r}.",
            "Nothing was taken in. Kinds have names of letters: ask whoever wrote the bundle where it is from.",
        )


def keep_unknown(session: Session, told: Told) -> None:
    """Leave of what is told only what this database does not know.

    Raises ActNotTold, ActToldOtherwise, ActOutOfOrder, StrangeKind.
    """
    _refuse_strange(told)
    _drop_known_acts(session, told.acts)
    _drop_known(session, Change, told.changes, told.whole_now)
    _drop_known(session, ChangeBatch, told.batches, told.whole_now)
    _expect_acts(session, told)


def _drop_known_acts(session: Session, acts: dict[str, ActEntry]) -> None:
    """Drop the acts that are known; the sentence of one may be without a name that was removed since."""
    for act_id, at_utc in _acts_here(session, acts).items():
        if at_utc != stored_utc(acts[act_id].at_utc):
            raise ActToldOtherwise(act_id)
        del acts[act_id]


def _drop_known(
    session: Session, kind: type[Change] | type[ChangeBatch], entries: dict[str, E], whole_now: set[str]
) -> None:
    """Drop the entries that are known as they are told; those that are known only in part are whole now."""
    for key, withheld in _known_roughly(session, kind, entries).items():
        if len(entries[key].withheld) < withheld:
            whole_now.add(key)
        elif key not in whole_now:
            del entries[key]


def _refuse_strange(told: Told) -> None:
    for act in told.acts.values():
        if act.undoes_id is not None and act.undoes_id >= act.id:
            raise ActOutOfOrder(act.id)
    of_changes = {change.record_kind for change in told.changes.values()}
    for kind in of_changes | {batch.kind for batch in told.batches.values()}:
        if not _KIND.fullmatch(kind):
            raise StrangeKind(kind)


def _acts_here(session: Session, ids: Collection[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for some in by_many(sorted(ids)):
        query = select(cast(Act.id, Text), Act.at_utc).where(Act.id.in_([key_of(one) for one in some]))
        found |= {key: stored_utc(at) for key, at in session.execute(query)}
    return found


def _known_roughly(
    session: Session, kind: type[Change] | type[ChangeBatch], ids: Collection[str]
) -> dict[str, int]:
    """Of those that are known how many columns of each are withheld here."""
    found: dict[str, int] = {}
    for some in by_many(sorted(ids)):
        query = select(cast(kind.id, Text), kind.withheld).where(kind.id.in_([key_of(one) for one in some]))
        found |= {key: len(json.loads(kept)) if kept else 0 for key, kept in session.execute(query)}
    return found


def _expect_acts(session: Session, told: Told) -> None:
    wanted = {change.act_id for change in told.changes.values()}
    wanted |= {batch.act_id for batch in told.batches.values()}
    wanted |= {act.undoes_id for act in told.acts.values() if act.undoes_id is not None}
    missing = wanted - told.acts.keys()
    here: set[str] = set()
    for some in by_many(sorted(missing)):
        query = select(cast(Act.id, Text)).where(Act.id.in_([key_of(one) for one in some]))
        here |= set(session.scalars(query))
    if not_told := sorted(missing - here):
        raise ActNotTold(not_told[0])
