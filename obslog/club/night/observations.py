"""Objects looked at, or looked for: each observer's own entry, with what observing programmes ask for."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.observation_lines import ObservationLine, observation_lines
from obslog.club.night.open_night import (
    NightChoice,
    NoOpenSetup,
    SetupChoice,
    chosen_night,
    chosen_setup,
    instant_in_night,
    open_setup,
)
from obslog.club.night.plausibility import (
    altitude_deg,
    magnification_of,
    question_altitude,
    question_magnification,
    same_entry,
    tube_of,
)
from obslog.club.register.usual_choices import Me, myself
from obslog.club.sky.solar_questions import caution_at
from obslog.grammar.observation_words import ObservationSaid
from obslog.grammar.target_names import Target, target_named
from obslog.grammar.told_words import once
from obslog.records.database import Database
from obslog.records.name_lookup import key_of, key_of_member, member_here
from obslog.records.tables.logbook_tables import Eyepiece, Night, Observation, Setup, Site
from obslog.vocabulary.observations import WITHOUT_TELESCOPE, FindingMethod, Sighting, Vision, says_none

_TEXTS = (("description", fields.DESCRIPTION), ("filter", fields.FILTER), ("sketch", fields.SKETCH))


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservationEntry:
    """What was said about an observed object; None was not said."""

    sighting: Sighting | None = None
    description: str | None = None
    found_by: FindingMethod | None = None
    vision: Vision | None = None
    eyepiece: str | None = None
    magnification: float | None = None
    filter: str | None = None
    rating: int | None = None
    sketch: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True)
class RecordedObservations:
    """The entries that went on record, one for each observer, the solar caution, and what else should be said."""

    entries: list[ObservationLine]
    remarks: list[str]
    caution: str | None


@dataclass(frozen=True, slots=True)
class ObservingPlace:
    """The night in which something is observed, its site, and the set-up where it was with one."""

    night: Night
    site: Site
    setup: Setup | None = None


def entry_of(said: ObservationSaid, told: ObservationEntry | None = None) -> ObservationEntry:
    """The observation that words say, with what was told otherwise. Raises SaidTwice where the two differ."""
    told = told or ObservationEntry()
    names = ("vision", "found_by", "eyepiece", "magnification", "filter", "rating", "sketch")
    return replace(
        told,
        sighting=said.sighting,
        description=once("description", said.text, told.description),
        **{name: once(name, getattr(said, name), getattr(told, name)) for name in names},
    )


def record_observations(
    database: Database,
    target: str,
    entry: ObservationEntry,
    now: datetime,
    *,
    observers: Sequence[str | None] = (None,),
    mount: str | None = None,
    choice: NightChoice | None = None,
    ordinal: int | None = None,
    sure: bool = False,
    me: Me | None = None,
) -> RecordedObservations:
    """Put an observed object on record, an entry for each observer: in the open set-up, or in the night that is chosen.

    A chosen night's set-up is that of the mount that is named, of that ordinal or the last. A mount of `none` is no
    set-up, though one be open. Who is not told is the set-up's observer, else `me`, the person at this machine.
    Raises NoOpenNight, WhichOne, NoSuchNight, NobodyOfThatName, and what `note_observation` raises.
    """
    thing = target_named(fields.TARGET.checked(target))
    with database.write(now, f"saw {thing.name}") as session:
        place = _place_of(session, mount, choice, ordinal)
        keys, remarks = [], []
        for observer in _who_saw(session, place, observers, me):
            record, said = note_observation(session, place, thing, entry, now, observer=observer, sure=sure)
            keys.append(record.id)
            remarks += said
        numbered = dict(observation_lines(session, place.night, place.site))
        return RecordedObservations(
            entries=[numbered[key] for key in keys],
            remarks=list(dict.fromkeys(remarks)),
            caution=caution_at(thing, record.at_utc, place.site),
        )


def _who_saw(
    session: Session, place: ObservingPlace, told: Sequence[str | None], me: Me | None
) -> Sequence[str | None]:
    """Each who is told, by the whole name and once; None where it is the set-up's observer, or nobody knows."""
    names = [member_here(session, name).name if name else None for name in told]
    if None in names and me is not None and (place.setup is None or place.setup.member_id is None):
        here = myself(session, me())
        names = [name or (here.name if here else None) for name in names]
    return list(dict.fromkeys(names))


def note_observation(
    session: Session,
    place: ObservingPlace,
    thing: Target,
    entry: ObservationEntry,
    now: datetime,
    *,
    observer: str | None = None,
    sure: bool = False,
) -> tuple[Observation, list[str]]:
    """Put one observer's entry on record, within a transaction: the record, and what should be said about it.

    Raises UnknownName, UnusableText, OutOfRange, and unless `sure` BelowHorizon or OtherMagnification.
    """
    setup = place.setup
    without_telescope = entry.found_by in WITHOUT_TELESCOPE
    record = Observation(
        night_id=place.night.id,
        at_utc=instant_in_night(entry.at, place.night, place.site, now),
        target=thing.name,
        setup_id=setup.id if setup else None,
        member_id=key_of_member(session, observer, setup.member_id if setup else None),
        eyepiece_id=setup.eyepiece_id if setup and not without_telescope else None,
    )
    remarks = [] if thing.known else [thing.unknown_words()]
    remarks += apply_entry(session, record, entry, thing, place.site, sure=sure)
    session.add(record)
    session.flush()
    return record, remarks + _twin_remarks(session, record)


def apply_entry(
    session: Session, record: Observation, entry: ObservationEntry, thing: Target, site: Site, *, sure: bool
) -> list[str]:
    """Write onto a record what was said, with altitude and magnification; gives remarks. See note_observation."""
    fields.RATING.check(entry.rating)
    fields.MAGNIFICATION.check(entry.magnification)
    remarks = _apply_optics(session, record, entry, sure=sure)
    for name in ("sighting", "found_by", "vision", "rating"):
        if getattr(entry, name) is not None:
            setattr(record, name, getattr(entry, name))
    for name, field in _TEXTS:
        if getattr(entry, name) is not None:
            setattr(record, name, field.checked(getattr(entry, name)))
    record.alt_deg = altitude_deg(thing, record.at_utc, site)
    if not sure:
        question_altitude(thing, record.at_utc, site)
    return remarks


def _apply_optics(session: Session, record: Observation, entry: ObservationEntry, *, sure: bool) -> list[str]:
    """Write onto a record with what eyepiece and magnification it was seen; gives remarks."""
    setup = session.get(Setup, record.setup_id) if record.setup_id else None
    tube = tube_of(session, setup)
    if says_none(entry.eyepiece) or _is_the_setups(session, record, setup, entry):
        record.eyepiece_id, record.magnification = None, None
    elif entry.eyepiece:
        record.eyepiece_id = key_of(session, Eyepiece, entry.eyepiece)
    eyepiece = session.get(Eyepiece, record.eyepiece_id) if record.eyepiece_id else None
    if entry.magnification is None:
        if record.magnification is None or entry.eyepiece:
            record.magnification = magnification_of(tube, eyepiece)
        return []
    record.magnification = entry.magnification
    remark = None if sure else question_magnification(entry.magnification, tube, eyepiece)
    return [remark] if remark else []


def _is_the_setups(
    session: Session, record: Observation, setup: Setup | None, entry: ObservationEntry
) -> bool:
    """Whether the record has eyepiece and magnification of its set-up, and is now said to be of no telescope."""
    if (
        entry.found_by not in WITHOUT_TELESCOPE
        or entry.eyepiece
        or setup is None
        or record.eyepiece_id is None
    ):
        return False
    given = magnification_of(tube_of(session, setup), session.get(Eyepiece, record.eyepiece_id))
    return record.eyepiece_id == setup.eyepiece_id and record.magnification == given


def _place_of(
    session: Session, mount: str | None, choice: NightChoice | None, ordinal: int | None
) -> ObservingPlace:
    if choice is not None:
        night, site = chosen_night(session, choice)
        if mount is None or says_none(mount):
            return ObservingPlace(night, site)
        chosen = chosen_setup(session, SetupChoice(mount, site.name, night.night_of, ordinal))
        return ObservingPlace(night, site, chosen.setup)
    if says_none(mount):
        return ObservingPlace(*chosen_night(session, NightChoice(), must_be_open=True))
    where = open_setup(session, mount)
    if where is not None:
        return ObservingPlace(where.night, where.site, where.setup)
    if mount is not None:
        raise NoOpenSetup
    return ObservingPlace(*chosen_night(session, NightChoice(), must_be_open=True))


def _twin_remarks(session: Session, record: Observation) -> list[str]:
    if same_entry(session, record) is None:
        return []
    return [
        f"{record.target} was on record already for the same minute and observer; both are kept. "
        "If it was typed twice: obslog undo"
    ]
