"""The first star of a set-up that landed far off: asked about before it is recorded, and the mistake named."""

from datetime import datetime

import numpy as np
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.aligning.club_record import read_club_record
from obslog.club.aligning.first_star_mistakes import FirstMiss, causes_of_miss, past_of
from obslog.club.aligning.past_mistakes import again_words
from obslog.club.aligning.star_candidates import BelowTheHorizon
from obslog.club.checklist.measured_faults import CAUSE_FROM, NO_MISTAKE_OF_A_STEP
from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.situation import Situation
from obslog.club.night.open_night import SetupChoice, Where, chosen_setup
from obslog.club.night.plausibility import Doubtful
from obslog.club.night.setups import arrivals_in_order
from obslog.club.register.observing_site import view_from
from obslog.errors import quoted
from obslog.estimate_words import chance_words
from obslog.grammar.target_names import Target, target_named
from obslog.pointing.mistakes.posterior import FIRST_STAR_FAR_ARCMIN, LikelyCause
from obslog.pointing.mistakes.prior import NO_PAST, Past
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival
from obslog.sky.names.lookup import found_or_none
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import MountType

FEW_ARRIVALS = 3
"""With more on record the observer has found a way on: a sync shifts a wrong clock away, but for an altaz mount."""


class FirstStarFarOff(Doubtful):
    """The first star of a set-up stood so far off that something was keyed in wrongly."""

    def __init__(self, target: str, miss_arcmin: float, cause: LikelyCause, past: Past = NO_PAST) -> None:
        self.cause = cause
        super().__init__(
            f"{target} stood {_degrees(miss_arcmin)} off. Most likely ({chance_words(cause.probability)}): "
            f"{cause.what}.{again_words(past, cause.cause)}",
            f"{cause.remedy} To record it as it is, add --sure.",
        )


def first_star_question(
    session: Session,
    where: Where,
    target: Target,
    at_utc: datetime,
    offset: tuple[float, float] | None,
) -> FirstStarFarOff | None:
    """What to ask before the first star of a set-up is recorded; None where nothing is to be asked.

    `offset` is east and north in arcminutes, None where it was not measured. Costs nothing for a star within
    three degrees. A star that was gone to before is no reason to pass: only a sync settles the matter.
    """
    if offset is None or np.hypot(*offset) <= FIRST_STAR_FAR_ARCMIN:
        return None
    syncs = select(func.count()).where(Arrival.setup_id == where.setup.id, Arrival.role == Role.SYNC)
    if session.scalar(syncs):
        return None
    found = _likeliest(session, where, target.name, at_utc, offset)
    return None if found is None else FirstStarFarOff(target.name, float(np.hypot(*offset)), *found)


def first_star_answers(session: Session, at: Situation) -> list[LiveAnswer]:
    """The likeliest mistake behind a first star far off, while the set-up is young."""
    return _answers(session, at.where, at.on_record)


def first_star_remark(database: Database, choice: SetupChoice) -> str | None:
    """The same in a sentence, with the command that tells what else it may have been; None where nothing is to say.

    Raises UnknownName, NoOpenSetup, NoSuchNight or WhichOne.
    """
    with database.read() as session:
        where = chosen_setup(session, choice)
        on_record = arrivals_in_order(session, where.setup.id)
        answers = _answers(session, where, on_record)
        if not answers:
            return None
        first, mount_type = on_record[0], where.mount.mount_type or MountType.GERMAN
        east_deg, north_deg = (first.offset_east_arcmin or 0.0) / 60, (first.offset_north_arcmin or 0.0) / 60
        return (
            f"{answers[0].words} See: obslog pointing mistakes --star {quoted(first.target)} "
            f"--site {quoted(where.site.name)} --at {first.at_utc:%Y-%m-%dT%H:%MZ} "
            f"--east {east_deg:.1f} --north {north_deg:.1f} --type {mount_type}"
        )


def _answers(session: Session, where: Where, on_record: list[Arrival]) -> list[LiveAnswer]:
    altaz = where.mount.mount_type is MountType.ALTAZ
    if not on_record or (len(on_record) > FEW_ARRIVALS and not altaz):
        return []
    first = on_record[0]
    east, north = first.offset_east_arcmin, first.offset_north_arcmin
    if east is None or north is None or np.hypot(east, north) <= FIRST_STAR_FAR_ARCMIN:
        return []
    target = target_named(first.target)
    found = _likeliest(session, where, target.name, first.at_utc, (east, north))
    if found is None:
        return []
    cause, past = found
    miss = _degrees(float(np.hypot(east, north)))
    chance = chance_words(cause.probability)
    again = again_words(past, cause.cause)
    words = f"{first.target} stood {miss} off; most likely ({chance}): {cause.what}.{again} {cause.remedy}"
    if any(arrival.role == Role.SYNC for arrival in on_record):
        words += " Then align anew: a sync does not mend it."
    return [
        LiveAnswer(kind=LiveKind.FIRST_STAR, words=words, about=f"{first.id}", probability=cause.probability)
    ]


def _likeliest(
    session: Session, where: Where, star: str, at_utc: datetime, offset: tuple[float, float]
) -> tuple[LikelyCause, Past] | None:
    """The mistake that most probably explains the miss, and the club's past; None where none is likelier than not."""
    view = view_from(where.site) if where.site.lat_deg is not None and where.site.zone else None
    if view is None or found_or_none(star) is None:
        return None
    miss = FirstMiss(star=star, east_deg=offset[0] / 60, north_deg=offset[1] / 60)
    kind = where.mount.mount_type or MountType.GERMAN
    try:
        record = read_club_record(session)
        cause = causes_of_miss(record, view, at_utc, [miss], kind)[0]
    except BelowTheHorizon:
        return None
    if cause.probability < CAUSE_FROM or cause.cause in NO_MISTAKE_OF_A_STEP:
        return None
    return cause, past_of(record, view, at_utc)


def _degrees(arcmin: float) -> str:
    return f"{arcmin / 60:.0f}°" if arcmin >= 600 else f"{arcmin / 60:.1f}°"
