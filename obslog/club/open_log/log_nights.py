"""What a log tells of a whole night: when it began and ended, who was there, its weather and remarks."""

from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake
from obslog.club.bring_in.nights_in import NightsIn
from obslog.club.bring_in.sky_in import SkyIn, SkyTold
from obslog.club.open_log.log_names import LogNames
from obslog.club.open_log.log_words import added_lines
from obslog.club.open_log.sky_words import from_words
from obslog.errors import ObslogError
from obslog.exchange.open_log.records import LogObservation, LogSession
from obslog.fields import NOTE, usable
from obslog.records.tables.logbook_tables import Attendance, Night, Site
from obslog.times import night_of, not_in_future, zone_named
from obslog.vocabulary.sky_scales import SkyScale


@dataclass(slots=True, kw_only=True)
class LogNights:
    """Sessions of a log as nights, and readings of the sky beside its observations."""

    intake: Intake
    names: LogNames
    nights: NightsIn
    _sky: SkyIn = field(init=False)
    _told: list[SkyTold] = field(default_factory=list)
    _present: set[tuple[UUID, UUID]] = field(default_factory=set)
    _notes: dict[UUID, str | None] = field(default_factory=dict)

    def load(self) -> None:
        """Read what is on record."""
        session = self.intake.session
        present = session.execute(select(Attendance.night_id, Attendance.member_id))
        self._present = {(night, member) for night, member in present}
        self._notes = dict(session.execute(select(Night.id, Night.note)).all())
        self._sky = SkyIn(intake=self.intake)
        self._sky.load()

    def night_at(self, site: Site, at_utc: datetime) -> UUID:
        """The night at a site that holds an instant, on record or new."""
        return self.nights.night(site.id, night_of(at_utc, zone_named(site.zone or "UTC")))

    def add_session(self, session: LogSession) -> None:
        """Make a session's night, or tell what is new of the one on record; a fault where it cannot be."""
        try:
            site = self.names.sites.named(session.site)
            begin = not_in_future(self.names.sites.instant(session.begin, site), self.intake.now)
            end = max(begin, self.names.sites.instant(session.end, site))
            night = self.night_at(site, begin)
            if night in self.nights.made and night not in self._notes:
                self.intake.change(Night, night, {"started_utc": begin, "ended_utc": end})
            self._add_words(night, session)
            for reference in session.co_observers:
                self._add_present(night, self.names.member(reference))
        except ObslogError as error:
            self.intake.refuse(session.line, "session", error)

    def add_sky(self, night: UUID, seen: LogObservation, at_utc: datetime) -> None:
        """What the sky was like beside an observation."""
        readings = (
            (SkyScale.NAKED_EYE_LIMIT, seen.faintest_star),
            (SkyScale.SKY_METER, seen.sky_quality),
            (SkyScale.ANTONIADI, seen.seeing),
        )
        for scale, value in readings:
            if value is not None:
                told = SkyTold(line=seen.line, night=night, at_utc=at_utc, scale=scale, value=float(value))
                self._told.append(told)

    def settle_sky(self) -> None:
        """Make readings of what observations told, where what is on record would not say the same of their times."""
        self._sky.settle(self._told)

    def _add_words(self, night: UUID, session: LogSession) -> None:
        readings = from_words(session.weather or "") if session.weather else []
        weather = session.weather if readings is None else None
        for reading in readings or ():
            self._sky.note(night, reading)
        words = [
            session.comments or "",
            *(f"Weather: {text}" for text in (weather,) if text),
            *(f"Equipment: {text}" for text in (session.equipment,) if text),
            *session.other,
        ]
        there = self._notes.setdefault(night, None)
        note = added_lines(there, [usable(text).strip() for text in words])
        if note is not None:
            self._notes[night] = note = NOTE.checked(note)
            self.intake.change(Night, night, {"note": note})

    def _add_present(self, night: UUID, member: UUID | None) -> None:
        if member is not None and (night, member) not in self._present:
            self._present.add((night, member))
            self.intake.add(Attendance, night_id=night, member_id=member)
