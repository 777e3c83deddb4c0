"""What should be said of an arrival that went on record."""

from datetime import timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.open_night import Where
from obslog.club.night.plausibility import over_pier_remark, pier_remark
from obslog.club.night.setups import ArrivalLine, numbered_line, side_since_flip
from obslog.errors import quoted
from obslog.grammar.target_names import Target
from obslog.records.tables.logbook_tables import Arrival
from obslog.times import shown_local

A_MOMENT = timedelta(minutes=2)


def arrival_remarks(
    arrival: Arrival, line: ArrivalLine, target: Target, entry: ArrivalEntry, where: Where
) -> list[str]:
    """All that should be said of an arrival on record; `line` is its own in the set-up, `target` with its place."""
    return [
        *entry_remarks(target, entry, where),
        *_over_pier_remarks(arrival, target, entry, where),
        *_turned_over_remarks(arrival, where),
        *_early_remarks(arrival, line, where),
    ]


def entry_remarks(target: Target, entry: ArrivalEntry, where: Where) -> list[str]:
    """Says so where the target's name is not known, and so not checked, or the mount has no side of the pier."""
    unknown = not target.known and entry.ra_hours is None
    remarks = [target.unknown_words(then=" Then: obslog edit --target NAME")] if unknown else []
    pier = pier_remark(entry.pier_side, where.mount.name, where.mount.mount_type)
    return [*remarks, *([pier] if pier else [])]


def _over_pier_remarks(arrival: Arrival, target: Target, entry: ArrivalEntry, where: Where) -> list[str]:
    remark = over_pier_remark(entry.pier_side, target, arrival.at_utc, where.site, where.mount.mount_type)
    return [remark] if remark else []


def _turned_over_remarks(arrival: Arrival, where: Where) -> list[str]:
    """Says so where the tube was on a side before on which it can hardly be now."""
    side = side_since_flip(where.setup, arrival.at_utc)
    if side is None or arrival.pier_side is not None:
        return []
    return [
        f"The tube was on the {side} side of the pier, and on the way to {arrival.target} a mount turns over: "
        "no side is recorded. With pier east or pier west one is."
    ]


def _early_remarks(arrival: Arrival, line: ArrivalLine, where: Where) -> list[str]:
    """Says so where the first arrival is from before the set-up's beginning; what is much earlier was questioned."""
    began = where.setup.started_utc
    if line.number > 1 or began is None or arrival.at_utc >= began.replace(second=0):
        return []
    return [
        f"On record this set-up began at {shown_local(began, where.zone)}, after {line.at}. To put that right: "
        f"obslog setup edit {quoted(where.mount.name)} --start TIME"
    ]


def twice_remarks(session: Session, arrival: Arrival, where: Where) -> list[str]:
    """Says so where the same stood at the same place a moment before: it may have been typed twice."""
    same = (Arrival.setup_id, Arrival.role, Arrival.target, Arrival.landing)
    offset = (Arrival.offset_east_arcmin, Arrival.offset_north_arcmin)
    before = session.scalar(
        select(Arrival).where(
            *(column.is_not_distinct_from(getattr(arrival, column.key)) for column in (*same, *offset)),
            Arrival.at_utc.between(arrival.at_utc - A_MOMENT, arrival.at_utc),
            Arrival.id != arrival.id,
        )
    )
    if before is None:
        return []
    line = numbered_line(session, before, where)
    return [
        f"The {arrival.role} of {arrival.target} at {line.at} is just the same, number {line.number}; both are kept. "
        "If it was typed twice: obslog undo"
    ]
