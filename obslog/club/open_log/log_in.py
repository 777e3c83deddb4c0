"""A log in the open schema taken into the club: looked at first, whole or not at all, and never twice."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.bring_in.intake import Intake, Outcome, RowOutcome
from obslog.club.bring_in.nights_in import MOUNT_NOT_TOLD, NightsIn, SetupHasOtherTube, SetupIn
from obslog.club.bring_in.observations_in import remarks
from obslog.club.bring_in.observations_on_record import Where, known_between
from obslog.club.open_log.log_entry import EntryOf, LogEntry
from obslog.club.open_log.log_keys import content_key, own_key
from obslog.club.open_log.log_names import LogNames
from obslog.club.open_log.log_nights import LogNights
from obslog.club.open_log.log_objects import ObjectIn, Objects
from obslog.club.register.observing_site import place_of
from obslog.club.sky.altitudes import LookedAt, altitudes_deg
from obslog.errors import ObslogError
from obslog.exchange.arrivals_rows import Fault, SheetRefused
from obslog.exchange.open_log.reading import read_log
from obslog.exchange.open_log.records import Log, LogObservation
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Observation, Site
from obslog.times import YEAR, not_in_future

_AT_ONCE = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class LogTakenIn:
    """What came of a log, or with `looked_only` what would come of it, observation by observation.

    `made` are members, sites, mounts, tubes and eyepieces that were not on record; `remarks` say what else to look at.
    """

    file: str
    looked_only: bool
    new: int
    same: int
    rows: Sequence[RowOutcome]
    faults: Sequence[Fault]
    made: list[str]
    remarks: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Draft:
    """An observation whose place and time are known: what it is known by here."""

    seen: LogObservation
    site: Site
    object: ObjectIn
    where: Where
    key: UUID


def bring_in_log(
    database: Database, path: Path, now: datetime, *, look: bool = False, language: str | None = None
) -> LogTakenIn:
    """Take in a log as one act; to `look` changes nothing and tells the faults.

    Of results in several languages the one in `language` is the description. Raises SheetRefused with every fault,
    NoSuchLog, XmlRefused.
    """
    log, faults = read_log(path)
    if look:
        with database.read() as session:
            taking = _Taking(
                Intake(session=session, rows=(), now=now, faults=faults), log, path.name, language
            )
            taking.take_all()
    else:
        with database.write(now, f"import observations {path.name}") as session:
            taking = _Taking(
                Intake(session=session, rows=(), now=now, faults=faults), log, path.name, language
            )
            taking.take_all()
            if taking.intake.faults:
                raise SheetRefused(path.name, taking.intake.faults)
            taking.intake.write()
    outcomes = taking.intake.outcomes
    return LogTakenIn(
        file=path.name,
        looked_only=look,
        new=sum(row.outcome is Outcome.NEW for row in outcomes),
        same=sum(row.outcome is Outcome.SAME for row in outcomes),
        rows=outcomes,
        faults=sorted(taking.intake.faults, key=lambda fault: fault.line),
        made=taking.made(),
        remarks=taking.remarks(),
    )


class _Taking:
    """A log being taken in."""

    def __init__(self, intake: Intake, log: Log, file: str, language: str | None) -> None:
        self.intake, self.log = intake, log
        self.names = LogNames(intake=intake, log=log, file=file)
        self._setups = NightsIn(intake=intake)
        self._nights = LogNights(intake=intake, names=self.names, nights=self._setups)
        self._objects = Objects(log)
        self._entry_of = EntryOf(log, self.names, file, language)

    def take_all(self) -> None:
        for part in (self.names, self._setups, self._nights):
            part.load()
        for session in self.log.sessions.values():
            self._nights.add_session(session)
        drafts = list(self._drafts())
        new = sorted(self._new(drafts), key=lambda draft: draft.where[1])
        looks = [LookedAt(draft.object.target, draft.where[1], place_of(draft.site)) for draft in new]
        for draft, alt_deg in zip(new, altitudes_deg(looks), strict=True):
            self._add(draft, alt_deg)
        self._nights.settle_sky()
        self.intake.outcomes.sort(key=lambda outcome: outcome.line)

    def made(self) -> list[str]:
        """What was not on record, by kind and name."""
        return [*self.names.made, *([f"mount {MOUNT_NOT_TOLD}"] if self._setups.made_mount else [])]

    def remarks(self) -> list[str]:
        contacts = ["How observers are reached was left out."] if self.names.had_contacts else []
        return [*self.names.sites.remarks(), *contacts]

    def _drafts(self) -> Iterator[_Draft]:
        for seen in self.log.observations:
            try:
                session = self.log.sessions.get(seen.session or "")
                site = self.names.sites.named(seen.site or (session.site if session else None))
                at_utc = self.names.sites.instant(seen.begin, site)
                YEAR.check(at_utc.year)
                not_in_future(at_utc, self.intake.now)
                found = self._objects.named(seen.target)
                member = self.names.member(seen.observer)
            except ObslogError as error:
                self.intake.refuse(seen.line, "", error)
                continue
            yield _Draft(
                seen=seen,
                site=site,
                object=found,
                where=(site.id, at_utc, found.target.name, member),
                key=own_key(seen.id) or self._content_key(seen, site, at_utc),
            )

    def _content_key(self, seen: LogObservation, site: Site, at_utc: datetime) -> UUID:
        log = self.log
        observer, target = log.observers.get(seen.observer or ""), log.targets.get(seen.target or "")
        scope, eyepiece = log.scopes.get(seen.scope or ""), log.eyepieces.get(seen.eyepiece or "")
        filter = log.filters.get(seen.filter or "")
        used = (record.model if record else "" for record in (scope, eyepiece, filter))
        results = (result.description for result in seen.results)
        who, what = observer.full_name if observer else "", target.name if target else ""
        return content_key((who, what, site.name_key, at_utc, seen.magnification, *used, *results))

    def _new(self, drafts: Sequence[_Draft]) -> Iterator[_Draft]:
        """Those that are not on record: by their keys first, then by who looked at what, where and when."""
        on_record = _keys_on_record(self.intake.session, [draft.key for draft in drafts])
        known = known_between(self.intake.session, [draft.where[1] for draft in drafts])
        by_key = {one.key: one for there in known.by_where.values() for one in there}
        rest: dict[UUID, _Draft] = {}
        for draft in drafts:
            if draft.key in on_record:
                if draft.key in by_key:
                    by_key[draft.key].taken = True
                self._same(draft)
            elif draft.key in rest:
                self._same(draft, "as one above")
            else:
                rest[draft.key] = draft
        for draft in rest.values():
            if known.another(draft.where) is not None:
                self._same(draft)
            else:
                yield draft

    def _same(self, draft: _Draft, words: str = "") -> None:
        self.intake.told(draft.seen.line, draft.object.target.name, Outcome.SAME, words)

    def _add(self, draft: _Draft, alt_deg: float | None) -> None:
        _, at_utc, name, member = draft.where
        try:
            entry = self._entry_of(draft.seen, draft.object.lines)
            night = self._nights.night_at(draft.site, at_utc)
            setup = self._setup(night, entry)
        except ObslogError as error:
            self.intake.refuse(draft.seen.line, "", error)
            return
        self.intake.add(
            Observation,
            key=draft.key,
            night_id=night,
            at_utc=at_utc,
            target=name,
            member_id=member,
            setup_id=setup.key if setup else None,
            eyepiece_id=entry.eyepiece.id if entry.eyepiece else None,
            alt_deg=alt_deg,
            **entry.columns,
        )
        self._nights.add_sky(night, draft.seen, at_utc)
        words = f"{at_utc:%Y-%m-%d %H:%M}Z at {draft.site.name}{remarks(draft.object.target, alt_deg)}"
        self.intake.told(draft.seen.line, name, Outcome.NEW, words)

    def _setup(self, night: UUID, entry: LogEntry) -> SetupIn | None:
        """The set-up that is meant; where the one of that number has another tube, one more of its mount."""
        tube = entry.tube.id if entry.tube else None
        try:
            return self._setups.setup(night, entry.mount, entry.ordinal, tube)
        except SetupHasOtherTube:
            return self._setups.setup(night, entry.mount, None, tube)


def _keys_on_record(session: Session, keys: Sequence[UUID]) -> set[UUID]:
    found: set[UUID] = set()
    for start in range(0, len(keys), _AT_ONCE):
        some = keys[start : start + _AT_ONCE]
        found.update(session.scalars(select(Observation.id).where(Observation.id.in_(some))))
    return found
