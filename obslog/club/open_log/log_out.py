"""The club's observations as a log in the open schema; how members are reached never leaves with it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from obslog.club.bring_in.observations_out import ObservationChoice, chosen_only
from obslog.club.night.sky_in_force import in_force, readings_by_night
from obslog.club.open_log.log_things import COARSE_DEG, COARSE_M, LogThings
from obslog.club.open_log.log_words import standard_rating
from obslog.club.open_log.sky_words import in_words
from obslog.english import counted
from obslog.exchange.open_log.kept_lines import with_kept_lines
from obslog.exchange.open_log.records import (
    Log,
    LogObservation,
    LogResult,
    LogSession,
)
from obslog.exchange.open_log.writing import write_log
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import output_in_sentences
from obslog.records.database import Database
from obslog.records.tables.equipment import Equipment
from obslog.records.tables.logbook_tables import (
    Attendance,
    Night,
    Observation,
    Setup,
)
from obslog.vocabulary.observations import Sighting
from obslog.vocabulary.sky_scales import SkyScale


@dataclass(frozen=True, slots=True, kw_only=True)
class LogChoice:
    """Which observations go into a log, whether with the exact places of sites, and in what language they are."""

    which: ObservationChoice = field(default_factory=ObservationChoice)
    exact: bool = False
    language: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LogWritten:
    """How many observations were written, and what should be said about it."""

    observations: int
    remarks: list[str]


def write_log_to(database: Database, path: Path, choice: LogChoice) -> LogWritten:
    """Write the chosen observations into a new file, whole or not at all. Raises UnknownName."""
    with database.read() as session:
        log, remarks = club_log(session, choice)
    with output_in_sentences(path), whole_file(path) as unfinished, unfinished.open("wb") as file:
        left_out = write_log(file, log)
    if left_out:
        are = "was" if left_out == 1 else "were"
        remarks.append(f"{counted(left_out, 'character')} that XML cannot hold {are} left out.")
    return LogWritten(observations=len(log.observations), remarks=remarks)


def club_log(session: Session, choice: LogChoice) -> tuple[Log, list[str]]:
    """The chosen observations with all that they refer to, and what should be said. Raises UnknownName."""
    writer = _ClubLog(session, choice)
    for row in writer.chosen():
        writer.add(row)
    writer.add_sessions()
    return writer.log, writer.remarks()


class _ClubLog:
    def __init__(self, session: Session, choice: LogChoice) -> None:
        self.session, self.choice, self.log = session, choice, Log()
        self._things = LogThings(session, self.log, exact=choice.exact)
        self._readings = readings_by_night(session)
        self._of_nights: dict[UUID, tuple[datetime, datetime, UUID]] = {}

    def chosen(self) -> Sequence[Any]:
        mount = aliased(Equipment)
        query = (
            select(
                Observation.id,
                Observation.night_id,
                Observation.at_utc,
                Observation.target,
                Observation.sighting,
                Observation.member_id,
                Observation.eyepiece_id,
                Observation.found_by,
                Observation.description,
                Observation.vision,
                Observation.magnification,
                Observation.filter,
                Observation.rating,
                Observation.sketch,
                Night.site_id,
                Setup.tube_id,
                Setup.ordinal,
                mount.name.label("mount"),
            )
            .select_from(Observation)
            .join(Night, Observation.night_id == Night.id)
            .outerjoin(Setup, Observation.setup_id == Setup.id)
            .outerjoin(mount, Setup.mount_id == mount.id)
            .order_by(Observation.at_utc, Observation.id)
        )
        return self.session.execute(chosen_only(self.session, query, self.choice.which)).all()

    def add(self, row: Any) -> None:
        things, night_id, at_utc, site_id = self._things, row.night_id, row.at_utc, row.site_id
        site = things.site(site_id)
        if site is not None:
            first, last, _ = self._of_nights.get(night_id, (at_utc, at_utc, site_id))
            self._of_nights[night_id] = (min(first, at_utc), max(last, at_utc), site_id)
        observer = things.observer(row.member_id)
        target = things.target(row.target, observer)
        readings = self._readings.get(night_id, ())
        seeing = in_force(readings, SkyScale.ANTONIADI, at_utc)
        scope, eyepiece = things.scope(row.tube_id), things.eyepiece(row.eyepiece_id)
        words = with_kept_lines(row.description or "", self._beside(row, scope, eyepiece))
        self.log.observations.append(
            LogObservation(
                id=f"observation-{row.id}",
                observer=observer,
                site=site,
                session=_session_id(night_id) if site is not None else None,
                target=target,
                begin=things.local(at_utc, site_id),
                faintest_star=in_force(readings, SkyScale.NAKED_EYE_LIMIT, at_utc),
                sky_quality=in_force(readings, SkyScale.SKY_METER, at_utc),
                seeing=int(seeing) if seeing is not None and seeing.is_integer() else None,
                scope=scope,
                eyepiece=eyepiece,
                filter=things.filter(row.filter),
                magnification=row.magnification,
                results=(self._result(words, target),),
            )
        )

    def _result(self, words: str, target: str) -> LogResult:
        """The words; with the schema's own rating where an object of the deep sky came in with one."""
        deep_sky = (self.log.targets[target].kind or "").startswith("deepSky")
        rating = standard_rating(words) if deep_sky else None
        return LogResult(description=words, language=self.choice.language, rating=rating)

    def _beside(self, row: Any, scope: str | None, eyepiece: str | None) -> Mapping[str, str | None]:
        """What of an observation the standard has no element for."""
        tube = self._things.tubes.get(row.tube_id) if scope is None else None
        lens = self._things.eyepieces.get(row.eyepiece_id) if eyepiece is None else None
        return {
            "sighting": None if row.sighting is Sighting.SEEN else str(row.sighting),
            "vision": _text(row.vision),
            "found by": _text(row.found_by),
            "rating": _text(row.rating),
            "sketch": row.sketch,
            "tube": tube.name if tube is not None else None,
            "eyepiece": lens.name if lens is not None else None,
            "mount": row.mount,
            "set-up": _text(row.ordinal),
        }

    def add_sessions(self) -> None:
        """The nights of the observations, in order; each begins and ends with its first and last where nobody said."""
        present: dict[UUID, list[UUID]] = {}
        for night_id, member_id in self.session.execute(
            select(Attendance.night_id, Attendance.member_id).order_by(Attendance.id)
        ):
            present.setdefault(night_id, []).append(member_id)
        for night in self.session.scalars(select(Night).order_by(Night.night_of, Night.id)):
            if night.id not in self._of_nights:
                continue
            first, last, site_id = self._of_nights[night.id]
            key = _session_id(night.id)
            begin = night.started_utc or first
            self.log.sessions[key] = LogSession(
                id=key,
                begin=self._things.local(begin, site_id),
                end=self._things.local(max(night.ended_utc or last, begin), site_id),
                site=f"site-{site_id}",
                co_observers=tuple(self._co_observers(present.get(night.id, ()))),
                weather=in_words(self._readings.get(night.id, ())),
                comments=night.note,
            )

    def _co_observers(self, present: Sequence[UUID]) -> Iterator[str]:
        """Who was there; in the log of one member nobody else is named."""
        for key in present:
            if self.choice.which.observer is None or f"observer-{key}" in self.log.observers:
                yield self._things.observer(key)

    def remarks(self) -> list[str]:
        found = []
        if self.log.sites and not self.choice.exact:
            found.append(
                f"Places of sites are rounded to {COARSE_DEG:g}° and {COARSE_M} m; --exact writes them as they are."
            )
        if self._things.unplaced:
            found.append(
                f"Without a place on record, and so left out: {', '.join(sorted(self._things.unplaced))}."
            )
        return found


def _session_id(night_id: UUID) -> str:
    return f"night-{night_id}"


def _text(value: object) -> str | None:
    return None if value is None else str(value)
