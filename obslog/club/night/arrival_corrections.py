"""Arrivals corrected or removed afterwards."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.arrival_entries import ArrivalEntry, apply_entry
from obslog.club.night.arrivals import RecordedArrival, question_arrival, recorded_arrival, refuse_twin
from obslog.club.night.open_night import SetupChoice, Where, instant_in_night, setup_to_change
from obslog.club.night.setups import ArrivalLine, arrivals_in_order, numbered_line
from obslog.errors import NothingToChange, ObslogError
from obslog.grammar.target_names import target_named
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival


class NoSuchArrival(ObslogError):
    def __init__(self, number: int, last: int) -> None:
        there = f"its arrivals are numbered 1 to {last}" if last else "it has no arrivals yet"
        super().__init__(
            f"There is no arrival {number} in this set-up: {there}.", "See them: obslog setup show"
        )


@dataclass(frozen=True, slots=True)
class RemovedArrival:
    """What an arrival said that is off the record now."""

    mount: str
    removed: ArrivalLine
    night: date


def edit_arrival(
    database: Database,
    number: int | None,
    entry: ArrivalEntry,
    choice: SetupChoice,
    now: datetime,
    *,
    sure: bool = False,
) -> RecordedArrival:
    """Correct the arrival of that number, or the last one that was typed in.

    Raises NoSuchArrival, NothingToChange, SetupLongPast, and what recording raises.
    """
    if entry == ArrivalEntry():
        raise NothingToChange("the arrival")
    with database.write(now, f"edit arrival {number or ''}".strip()) as session:
        where = setup_to_change(session, choice, now)
        arrival = _of_number(session, number, where)
        target = target_named(arrival.target)
        if entry.target is not None:
            target = target_named(fields.TARGET.checked(entry.target))
            arrival.target, arrival.ra_hours, arrival.dec_deg = target.name, None, None
        if entry.at is not None:
            arrival.at_utc = instant_in_night(entry.at, where.night, where.site, now)
        arrival.role = entry.role or arrival.role
        with session.no_autoflush:
            apply_entry(session, arrival, entry, target, where)
            told = (entry.at, entry.target, entry.ra_hours, entry.pier_side)
            if any(what is not None for what in told) and not sure:
                question_arrival(arrival, target, where)
            refuse_twin(session, arrival, where)
        session.flush()
        return recorded_arrival(session, arrival, target, entry, where)


def remove_arrival(
    database: Database, number: int | None, choice: SetupChoice, now: datetime
) -> RemovedArrival:
    """Take an arrival off the record, that of the number or the last one typed in.

    Raises NoSuchArrival, NoOpenSetup, WhichOne, SetupLongPast.
    """
    with database.write(now, f"remove arrival {number or ''}".strip()) as session:
        where = setup_to_change(session, choice, now)
        arrival = _of_number(session, number, where)
        line = numbered_line(session, arrival, where)
        session.delete(arrival)
        return RemovedArrival(where.mount.name, line, where.night.night_of)


def _of_number(session: Session, number: int | None, where: Where) -> Arrival:
    in_order = arrivals_in_order(session, where.setup.id)
    if number is None and in_order:
        return max(in_order, key=lambda arrival: arrival.id)
    if number is not None and 1 <= number <= len(in_order):
        return in_order[number - 1]
    raise NoSuchArrival(1 if number is None else number, len(in_order))
