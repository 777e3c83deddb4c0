"""Writing rows that change places: what may stand once is let go before another takes it."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from graphlib import TopologicalSorter
from typing import Any

from sqlalchemy.orm import Session

from obslog import fields as limits
from obslog.records.merging.kinds import Kind, Once, Twice
from obslog.records.merging.row_images import Row, delete_rows, holders, insert_images, update_images

Key = tuple[str, str]
_NEVER = date(9999, 12, 31)
_FIRST_DAY = date(1, 1, 1)


def write_rows(
    session: Session,
    kinds: Mapping[str, Kind],
    before: Mapping[Key, Row | None],
    after: Mapping[Key, Row | None],
) -> None:
    """Make the rows as they are in `before` those in `after`; None is no row."""
    there = _let_go(session, kinds, {key: row for key, row in before.items() if row is not None}, after)
    ordered = sorted(kinds.values(), key=lambda kind: kind.order)
    new, changed, gone = _by_kind(there, after)
    for kind in ordered:
        if rows := new.get(kind.name):
            insert_images(session, kind, _in_their_order(kind, rows))
        if rows := changed.get(kind.name):
            update_images(session, kind, rows)
    for kind in reversed(ordered):
        leaving = gone.get(kind.name, [])
        if (own := kind.its_own) is not None:
            update_images(session, kind, [row | {own: None} for row in leaving if row[own] is not None])
        delete_rows(session, kind, [row["id"] for row in leaving])


def _in_their_order(kind: Kind, rows: Iterable[Row]) -> list[Row]:
    """Rows by their keys, each behind those of them that it refers to."""
    by_key = {row["id"]: row for row in sorted(rows, key=lambda row: str(row["id"]))}
    if kind.its_own is None:
        return list(by_key.values())
    before = {key: by_key.keys() & {row[kind.its_own]} for key, row in by_key.items()}
    return [by_key[key] for key in TopologicalSorter(before).static_order()]


def _by_kind(
    there: Mapping[Key, Row], after: Mapping[Key, Row | None]
) -> tuple[dict[str, list[Row]], dict[str, list[Row]], dict[str, list[Row]]]:
    new: dict[str, list[Row]] = {}
    changed: dict[str, list[Row]] = {}
    gone: dict[str, list[Row]] = {}
    for key, row in after.items():
        kind, _record_id = key
        if row is None:
            if key in there:
                gone.setdefault(kind, []).append(there[key])
        elif key not in there:
            new.setdefault(kind, []).append(row)
        elif there[key] != row:
            changed.setdefault(kind, []).append(row)
    return new, changed, gone


def _let_go(
    session: Session, kinds: Mapping[str, Kind], there: dict[Key, Row], after: Mapping[Key, Row | None]
) -> dict[Key, Row]:
    """Let rows go of what they are to hold no longer; gives the rows as they are then."""
    now = dict(there)
    for key, row in sorted(there.items(), key=lambda item: (-kinds[item[0][0]].order, item[0][1])):
        kind = kinds[key[0]]
        leaving = [
            once
            for once in kind.once
            if (held := once.key(row)) is not None
            and held != (once.key(to_be) if (to_be := after[key]) is not None else None)
        ]
        if not leaving:
            continue
        if not kind.referred_by:
            delete_rows(session, kind, [key[1]])
            del now[key]
            continue
        loose = dict(row)
        for once in leaving:
            loose |= _loosened(session, kind, once, loose, now, after)
        update_images(session, kind, [loose])
        now[key] = loose
    return now


def _loosened(
    session: Session,
    kind: Kind,
    once: Once,
    row: Row,
    now: Mapping[Key, Row],
    after: Mapping[Key, Row | None],
) -> dict[str, Any]:
    """Values that nobody holds or is to hold, for the time in between."""
    if once.while_open:
        return {once.while_open: _NEVER.isoformat()}
    column = once.columns[-1]
    if once.second is Twice.RENAMED:
        return {column: row["id"]}
    if once.second is Twice.BLANK:
        return {column: None}
    taken = {
        once.key(other)
        for rows in (now, after)
        for (name, _record_id), other in rows.items()
        if name == kind.name and other is not None
    }
    for number in range(int(limits.SETUP_ORDINAL.high), 0, -1):
        free = number if once.second is Twice.NUMBERED else (_FIRST_DAY + timedelta(number)).isoformat()
        held = once.key({**row, column: free})
        if held not in taken and not holders(session, kind, once, held or ()):
            return {column: free}
    return {}
