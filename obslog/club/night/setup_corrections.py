"""A set-up corrected that was begun wrongly, its tube turned over, or ended before its night is.

What was copied from the set-up onto its entries (observer, eyepiece, true field, magnification) follows it; what was
said of an entry itself stays.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.nights import EndsBeforeSetup, EndsTooEarly
from obslog.club.night.open_night import (
    A_MINUTE,
    SetupChoice,
    Where,
    chosen_setup,
    instant_in_night,
    setup_to_change,
)
from obslog.club.night.plausibility import magnification_of, question_time, tube_of
from obslog.club.night.setups import (
    SetupPage,
    arrivals_in_order,
    entry_times,
    last_entry,
    setup_page,
)
from obslog.club.register.true_field import field_in_use_arcmin
from obslog.english import counted
from obslog.errors import NothingToChange, WrongInput
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name, member_here
from obslog.records.tables.logbook_tables import (
    Arrival,
    Eyepiece,
    Member,
    Observation,
    Setup,
    Snag,
    Tick,
    Tube,
)
from obslog.times import shown_local
from obslog.vocabulary.mounts import MountType, PierSide
from obslog.vocabulary.observations import WITHOUT_TELESCOPE, says_none


class BeginsTooLate(WrongInput):
    def __init__(self, begins: str, what: str, when: str) -> None:
        super().__init__(
            f"The set-up cannot begin at {begins}: its {what} is of {when}.",
            "Give an earlier time with --start, or correct that first.",
        )


class BeginsTooEarly(WrongInput):
    def __init__(self, begins: str, what: str, when: str) -> None:
        super().__init__(
            f"The set-up cannot begin at {begins}: the one before it {what} {when}.",
            "Give a later time with --start, or correct that first.",
        )


class HasNoSides(WrongInput):
    def __init__(self, mount: str, kind: MountType) -> None:
        article = "an" if kind is MountType.ALTAZ else "a"
        super().__init__(
            f"{mount} is {article} {kind} mount: its tube is on no side of a pier.",
            "Only a german mount flips. If its type is wrong: obslog mount edit NAME --type german",
        )


class FlippedSince(WrongInput):
    def __init__(self, at: str) -> None:
        super().__init__(
            f"The tube was turned again at {at}, and only the last turn is kept.",
            "Give the arrivals before it their side: obslog edit NUMBER --pier east",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupEntry:
    """What was said about a set-up. What is None was not said; an empty note takes the old one away."""

    start: str | None = None
    tube: str | None = None
    observer: str | None = None
    eyepiece: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class CorrectedSetup:
    """A set-up as it stands now, and what changed with it."""

    setup: SetupPage
    remarks: list[str]


def edit_setup(database: Database, entry: SetupEntry, choice: SetupChoice, now: datetime) -> CorrectedSetup:
    """Correct the set-up that was chosen, the open one or the newest.

    Raises NothingToChange, UnknownName, SetupLongPast, BeginsTooLate, BeginsTooEarly, and what reading times raises.
    """
    if entry == SetupEntry():
        raise NothingToChange("the set-up")
    with database.write(now, "correct the set-up") as session:
        where = setup_to_change(session, choice, now)
        call_act(session, f"correct the set-up {where.mount.name}")
        setup, remarks = where.setup, []
        if entry.start is not None:
            _begin_at(session, where, instant_in_night(entry.start, where.night, where.site, now))
        if entry.note is not None:
            setup.note = fields.NOTE.checked_or_none(entry.note)
        if entry.observer is not None:
            remarks += _give_to(session, setup, member_here(session, entry.observer))
        if entry.tube is not None or entry.eyepiece is not None:
            remarks += _change_optics(session, setup, entry.tube, entry.eyepiece)
        session.flush()
        return CorrectedSetup(setup_page(session, where), remarks)


def end_setup(database: Database, choice: SetupChoice, now: datetime, *, at: str | None = None) -> SetupPage:
    """End an open set-up; its night stays open.

    Raises NoOpenSetup, EndsTooEarly, EndsBeforeSetup, and what reading times raises.
    """
    with database.write(now, "end the set-up") as session:
        where = chosen_setup(session, choice)
        call_act(session, f"end the set-up {where.mount.name}")
        ended = instant_in_night(at, where.night, where.site, now)
        last = last_entry(session, where.setup)
        if last is not None and last > ended + A_MINUTE:
            raise EndsTooEarly("The set-up", shown_local(ended, where.zone), shown_local(last, where.zone))
        began = where.setup.started_utc
        if began is not None and began > ended + A_MINUTE:
            told = shown_local(ended, where.zone), where.mount.name, shown_local(began, where.zone)
            raise EndsBeforeSetup(*told)
        where.setup.open, where.setup.ended_utc = False, ended
        session.flush()
        return setup_page(session, where)


def flip_setup(
    database: Database,
    side: PierSide,
    choice: SetupChoice,
    now: datetime,
    *,
    at: str | None = None,
    sure: bool = False,
) -> CorrectedSetup:
    """Say to which side of the pier the tube was turned: arrivals from then on get it where none is said of them.

    Those on record stay as they are. Raises NoOpenSetup, HasNoSides, FlippedSince, Doubtful unless `sure`, and what
    reading times raises.
    """
    with database.write(now, f"flip {choice.mount or 'the mount'} to {side}") as session:
        where = chosen_setup(session, choice)
        turned = instant_in_night(at, where.night, where.site, now)
        note_flip(session, where, side, turned, sure=sure)
        return CorrectedSetup(setup_page(session, where), without_side(session, where.setup))


def note_flip(
    session: Session, where: Where, side: PierSide, at_utc: datetime, *, sure: bool = False
) -> None:
    """Say within a transaction to which side the tube was turned, to the minute.

    Raises HasNoSides, FlippedSince, Doubtful unless `sure`.
    """
    setup, kind = where.setup, where.mount.mount_type
    if kind is not None and kind is not MountType.GERMAN:
        raise HasNoSides(where.mount.name, kind)
    turned = at_utc.replace(second=0, microsecond=0)
    if setup.pier_side_since_utc is not None and turned < setup.pier_side_since_utc:
        raise FlippedSince(shown_local(setup.pier_side_since_utc, where.zone))
    if not sure:
        question_time(turned, setup, where.site)
    setup.pier_side, setup.pier_side_since_utc = side, turned
    session.flush()


def without_side(session: Session, setup: Setup) -> list[str]:
    """What should be said of arrivals that are on record already, from after the last flip."""
    since = setup.pier_side_since_utc
    numbers = [
        f"{number}"
        for number, arrival in enumerate(arrivals_in_order(session, setup.id), start=1)
        if since is not None and arrival.at_utc >= since and arrival.pier_side is None
    ]
    if not numbers:
        return []
    are = "Arrival {} is" if len(numbers) == 1 else "Arrivals {} are"
    return [
        f"{are.format(', '.join(numbers))} on record since then without a side: obslog edit NUMBER --pier"
    ]


def _begin_at(session: Session, where: Where, started: datetime) -> None:
    """Move the beginning, and with it the end of a set-up of the same mount that this one ended."""
    setup, zone = where.setup, where.zone
    first = min(entry_times(session, setup), default=None)
    for what, limit in (("first entry", first), ("end", setup.ended_utc)):
        if limit is not None and started > limit:
            raise BeginsTooLate(shown_local(started, zone), what, shown_local(limit, zone))
    earlier = select(Setup).where(
        Setup.night_id == setup.night_id, Setup.mount_id == setup.mount_id, Setup.ordinal < setup.ordinal
    )
    for before in session.scalars(earlier):
        for what, when in (
            ("began at", before.started_utc),
            ("has an entry of", last_entry(session, before)),
        ):
            if when is not None and when > started + A_MINUTE:
                raise BeginsTooEarly(shown_local(started, zone), what, shown_local(when, zone))
        if before.ended_utc is not None and (
            before.ended_utc == setup.started_utc or before.ended_utc > started
        ):
            before.ended_utc = started
    setup.started_utc = started


def _give_to(session: Session, setup: Setup, member: Member) -> list[str]:
    """Make a member the observer, also of the entries that had the old one."""
    old = setup.member_id
    setup.member_id = member.id
    if old == member.id:
        return []
    followed = 0
    for table in (Arrival, Observation, Snag, Tick):
        query = select(table).where(table.setup_id == setup.id, table.member_id.is_not_distinct_from(old))
        for record in cast(Iterable[Arrival | Observation | Snag | Tick], session.scalars(query)):
            record.member_id = member.id
            followed += 1
    entries = "1 entry of the set-up is" if followed == 1 else f"{followed} entries of the set-up are"
    return [f"{entries} now by {member.name} too."] if followed else []


def _change_optics(session: Session, setup: Setup, tube: str | None, eyepiece: str | None) -> list[str]:
    """Change tube or eyepiece; fields and magnifications that came from the old ones come from the new."""
    old_field, old_eyepiece_id = field_in_use_arcmin(session, setup, None), setup.eyepiece_id
    old_magnification = _magnification(session, setup)
    if tube is not None:
        setup.tube_id = by_name(session, Tube, tube).id
    if eyepiece is not None:
        setup.eyepiece_id = None if says_none(eyepiece) else by_name(session, Eyepiece, eyepiece).id
    field, magnification = field_in_use_arcmin(session, setup, None), _magnification(session, setup)
    for seen in session.scalars(select(Observation).where(Observation.setup_id == setup.id)):
        if seen.eyepiece_id == old_eyepiece_id and seen.found_by not in WITHOUT_TELESCOPE:
            seen.eyepiece_id = setup.eyepiece_id
            if seen.magnification == old_magnification:
                seen.magnification = magnification
    arrivals = list(session.scalars(select(Arrival).where(Arrival.setup_id == setup.id)))
    followed = [a for a in arrivals if a.field_arcmin == old_field] if field != old_field else []
    for arrival in followed:
        arrival.field_arcmin = field
    if not followed:
        return []
    now_is = "not known" if field is None else f"{field:g}'"
    return [
        f"The true field of {counted(len(followed), 'arrival')} is now {now_is}. An offset that was typed as a "
        "fraction of the field stays as it was worked out with the old one: see obslog setup show."
    ]


def _magnification(session: Session, setup: Setup) -> float | None:
    eyepiece = session.get(Eyepiece, setup.eyepiece_id) if setup.eyepiece_id else None
    return magnification_of(tube_of(session, setup), eyepiece)
