"""A page from paper put on record, within a transaction that the caller keeps or takes back."""

from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy.orm import Session

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrival_entries import entry_of as arrival_of
from obslog.club.night.arrival_remarks import entry_remarks
from obslog.club.night.arrivals import note_arrival
from obslog.club.night.nights import begin_night
from obslog.club.night.observations import ObservationEntry, ObservingPlace, note_observation
from obslog.club.night.observations import entry_of as observation_of
from obslog.club.night.open_night import Where, instant_in_night
from obslog.club.night.setup_corrections import note_flip, without_side
from obslog.club.night.setups import begin_setup
from obslog.club.night.snags import SnagLine, note_snag, snag_lines
from obslog.club.paper.page import FLIP, SIGHTINGS, SNAG, NightHeading, SetupHead, TriedLine
from obslog.club.register.names_on_record import names_in
from obslog.club.routine.club_steps import steps_in_force
from obslog.club.sky.solar_questions import caution_at
from obslog.errors import WrongInput
from obslog.grammar.arrival_words import read_arrival
from obslog.grammar.lines import Line
from obslog.grammar.observation_words import read_observation
from obslog.grammar.sky_readings import read_sky
from obslog.records.name_lookup import member_here
from obslog.records.tables.logbook_tables import Night, Site
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.steps import StepKey


class NoSetupOnPage(WrongInput):
    def __init__(self, verb: str) -> None:
        super().__init__(
            f"A {verb} belongs to a mount, and none was named above.",
            "Use saw, or name the mount first: a line that says setup asks for it.",
        )


class WhichSide(WrongInput):
    def __init__(self, line: Line) -> None:
        super().__init__(
            f"{' '.join(line.words)!r} is no side of the pier.", f"Write: {line.at} flip east, or flip west"
        )


@dataclass(frozen=True, slots=True)
class Begun:
    """A night, and the set-up to which lines belong now, begun within a transaction."""

    night: Night
    site: Site
    head: SetupHead
    where: Where | None


def begin_page(session: Session, heading: NightHeading, now: datetime) -> Begun:
    """The night begun, as the heading says. Raises what `begin_night` and `read_sky` raise."""
    night, site = begin_night(
        session, heading.site, now, night=heading.night, present=heading.present,
        sky=[read_sky(text) for text in heading.sky], note=heading.note,
    )  # fmt: skip
    return Begun(night, site, SetupHead(), None)


def set_up(session: Session, begun: Begun, head: SetupHead, now: datetime) -> Begun:
    """The set-up begun; without a mount only the observer's name is looked up."""
    night, site = begun.night, begun.site
    if head.mount is None:
        if head.observer is not None:
            member_here(session, head.observer)
        return Begun(night, site, head, None)
    started = start_of(begun, head, now)
    where = begin_setup(
        session, (night, site), head.mount, started,
        tube=head.tube, observer=head.observer, eyepiece=head.eyepiece,
    )  # fmt: skip
    return Begun(night, site, head, where)


def start_of(begun: Begun, head: SetupHead, now: datetime) -> datetime | None:
    """When a set-up of the night began; None where nobody knows."""
    return None if head.start is None else instant_in_night(head.start, begun.night, begun.site, now)


def write_line(
    session: Session, begun: Begun, line: Line, now: datetime, snags: list[SnagLine]
) -> tuple[TriedLine, list[str]]:
    """One line put on record, within a transaction, and what should be said about it; a snag joins `snags`."""
    if line.verb == SNAG:
        return _write_snag(session, begun, line, now, snags), []
    if line.verb == FLIP:
        return _write_flip(session, begun, line, now)
    if line.verb in SIGHTINGS:
        return _write_observation(session, begun, line, now)
    return _write_arrival(session, begun, line, now)


def _write_snag(
    session: Session, begun: Begun, line: Line, now: datetime, snags: list[SnagLine]
) -> TriedLine:
    step, words = _step_and_words(session, line)
    at_utc = instant_in_night(line.at, begun.night, begun.site, now)
    head = begun.head
    site = None if begun.where else begun.site.name
    member = None if begun.where else head.observer
    snag = note_snag(session, step, words, at_utc, begun.where, member=member, site=site)
    snags += snag_lines(session, [snag.id])
    return TriedLine(line=line, at_utc=at_utc, target=step)


def _write_flip(session: Session, begun: Begun, line: Line, now: datetime) -> tuple[TriedLine, list[str]]:
    where = begun.where
    if where is None:
        raise NoSetupOnPage(line.verb)
    sides = [side for side in PierSide if side.startswith(" ".join(line.words).casefold())]
    if len(sides) != 1 or line.text:
        raise WhichSide(line)
    at_utc = instant_in_night(line.at, where.night, where.site, now)
    note_flip(session, where, sides[0], at_utc, sure=line.sure)
    return TriedLine(line=line, at_utc=at_utc, target=sides[0]), without_side(session, where.setup)


def _step_and_words(session: Session, line: Line) -> tuple[StepKey, str]:
    """The step of a snag, and what happened: `snag key-in summer time was on`, or behind a semicolon."""
    word, *rest = line.words
    step = steps_in_force(session).meant(word)
    return step, "; ".join(part for part in (" ".join(rest), line.text) if part)


def _write_observation(
    session: Session, begun: Begun, line: Line, now: datetime
) -> tuple[TriedLine, list[str]]:
    where, head = begun.where, begun.head
    place = ObservingPlace(begun.night, begun.site, where.setup if where else None)
    said = read_observation(
        line.words,
        sighting=SIGHTINGS[line.verb],
        text=line.text,
        as_written=line.sure,
        names=names_in(session),
    )
    entry = observation_of(said, ObservationEntry(at=line.at))
    if entry.eyepiece is None:
        entry = replace(entry, eyepiece=head.eyepiece)
    record, remarks = note_observation(
        session, place, said.target, entry, now, observer=said.observer or head.observer, sure=line.sure
    )
    tried = TriedLine(line=line, at_utc=record.at_utc, target=record.target)
    return tried, _with_caution(remarks, caution_at(said.target, record.at_utc, begun.site))


def _write_arrival(session: Session, begun: Begun, line: Line, now: datetime) -> tuple[TriedLine, list[str]]:
    where = begun.where
    if where is None:
        raise NoSetupOnPage(line.verb)
    said = read_arrival(line.words, note=line.text, as_written=line.sure, names=names_in(session))
    entry = arrival_of(said, ArrivalEntry(at=line.at))
    arrival = note_arrival(session, where, Role(line.verb), said.target, entry, now, sure=line.sure)
    caution = caution_at(said.target, arrival.at_utc, where.site)
    tried = TriedLine(line=line, at_utc=arrival.at_utc, target=arrival.target)
    return tried, _with_caution(entry_remarks(said.target, entry, where), caution)


def _with_caution(remarks: list[str], caution: str | None) -> list[str]:
    return [f"CAUTION. {caution}", *remarks] if caution else remarks
