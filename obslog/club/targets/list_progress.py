"""How far a member is with a list: done, done but lacking what the programme asks for, and what comes up next month."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from obslog.club.register.observing_site import ObservingSite
from obslog.club.targets.programmes import Needed, Programme
from obslog.english import enumerated
from obslog.grammar.target_names import target_named
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import (
    Eyepiece,
    Member,
    Night,
    Observation,
    Setup,
    Site,
    SkyReading,
    Tube,
)
from obslog.sky.evening.dark_windows import NotDark, dark_spell, dark_windows
from obslog.sky.evening.object_arrays import Catalogue, listed_objects, named_things
from obslog.times import night_bounds_utc
from obslog.vocabulary.observations import Sighting
from obslog.vocabulary.sky_scales import SkyScale

UP_FROM_DEG = 30.0
_SEEING = (SkyScale.ANTONIADI, SkyScale.PICKERING, SkyScale.SEEING_0_10)
_TRANSPARENCY = (SkyScale.TRANSPARENCY_1_7, SkyScale.NAKED_EYE_LIMIT)


@dataclass(frozen=True, slots=True)
class SeenObject:
    """An object that was seen: its most complete entry, and what that lacks."""

    name: str
    night: date
    lacks: list[Needed]


@dataclass(frozen=True, slots=True)
class Incomplete:
    """So many objects were seen whose entries lack the same things; in words, what that is."""

    lacks: list[Needed]
    count: int
    words: str


@dataclass(frozen=True, slots=True)
class UpNext:
    """An object still to be seen, and for how long it stands high in the dark in the middle of next month."""

    name: str
    hours: float
    best_alt_deg: float


@dataclass(frozen=True, slots=True)
class QuotaState:
    what: str
    done: int
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """The state of a list. `up_next` is None where no site was named, and empty where nothing comes up.

    `incomplete` counts those of `lacking` by what they lack, the most first; of equals what lacks least.
    """

    listed: str
    programme: str
    source: str
    remark: str
    member: str
    total: int
    done: list[SeenObject]
    lacking: list[SeenObject]
    incomplete: list[Incomplete]
    to_see: list[str]
    steps: dict[str, int]
    quotas: list[QuotaState]
    next_month: str | None
    up_next: list[UpNext] | None
    unknown: list[str]


def progress_of(
    database: Database,
    member_name: str,
    listed: str,
    programme: Programme,
    now: datetime,
    *,
    names: Sequence[str] | None = None,
    view: ObservingSite | None = None,
) -> Progress:
    """How far a member is with a list, by the rules of a programme. Suspected, or not seen, is not done.

    `names` is a list of one's own, else `listed` is one that is known. Raises UnknownName.
    """
    catalogue, unknown = (listed_objects(listed), []) if names is None else named_things(names)
    with database.read() as session:
        member = by_name(session, Member, member_name)
        seen = _seen(session, member, set(catalogue.names), programme)
        who = member.name
    done = [one for one in seen.values() if not one.lacks]
    lacking = [one for one in seen.values() if one.lacks]
    left = [place for place, name in enumerate(catalogue.names) if name not in seen]
    month, up = _next_month(catalogue, left, view, now) if view else (None, None)
    kinds = dict(zip(catalogue.names, catalogue.types, strict=True))
    return Progress(
        listed=listed,
        programme=programme.title,
        source=programme.source,
        remark=programme.remark,
        member=who,
        total=len(catalogue),
        done=done,
        lacking=lacking,
        incomplete=_incomplete(lacking),
        to_see=[catalogue.names[place] for place in left],
        steps=programme.steps,
        quotas=[
            QuotaState(quota.what, sum(kinds[one.name] in quota.types for one in done), quota.number)
            for quota in programme.quotas
        ],
        next_month=month,
        up_next=up,
        unknown=unknown,
    )


def _incomplete(lacking: Sequence[SeenObject]) -> list[Incomplete]:
    counts = Counter(tuple(one.lacks) for one in lacking)
    found = [Incomplete(list(lacks), count, _lacks_words(lacks)) for lacks, count in counts.items()]
    return sorted(found, key=lambda one: (-one.count, len(one.lacks)))


def _lacks_words(lacks: Sequence[Needed]) -> str:
    """`seen, but the entry has no seeing, no magnification and no description`."""
    return f"seen, but the entry has {enumerated([f'no {needed}' for needed in lacks])}"


def _seen(session: Session, member: Member, wanted: set[str], programme: Programme) -> dict[str, SeenObject]:
    """For each wanted object that was seen, the entry that lacks least; of equals the first."""
    tube, eyepiece = aliased(Tube, flat=True), aliased(Eyepiece, flat=True)
    query = (
        select(
            Observation, Night.id.label("night"), Night.night_of, Site.lat_deg, Site.lon_deg, tube, eyepiece
        )
        .join(Night, Observation.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .outerjoin(Setup, Observation.setup_id == Setup.id)
        .outerjoin(tube, Setup.tube_id == tube.id)
        .outerjoin(eyepiece, Observation.eyepiece_id == eyepiece.id)
        .where(Observation.member_id == member.id, Observation.sighting == Sighting.SEEN)
        .order_by(Observation.at_utc)
    )
    scales = _scales_by_night(session)
    today = {text: target_named(text).name for text in _targets(session, member)}
    best: dict[str, SeenObject] = {}
    for row in session.execute(query):
        name = today[row[0].target]
        if name not in wanted:
            continue
        has = _what_it_has(
            row[0],
            row[5],
            row[6],
            row.lat_deg is not None and row.lon_deg is not None,
            scales.get(row.night, set()),
        )
        lacks = [needed for needed in programme.needs if needed not in has]
        if name not in best or len(lacks) < len(best[name].lacks):
            best[name] = SeenObject(name, row.night_of, lacks)
    return best


def _targets(session: Session, member: Member) -> Sequence[str]:
    query = select(Observation.target).where(Observation.member_id == member.id).distinct()
    return session.scalars(query).all()


def _scales_by_night(session: Session) -> dict[UUID, set[SkyScale]]:
    scales: dict[UUID, set[SkyScale]] = {}
    for night, scale in session.execute(select(SkyReading.night_id, SkyReading.scale).distinct()):
        scales.setdefault(night, set()).add(scale)
    return scales


def _what_it_has(
    entry: Observation, tube: Tube | None, eyepiece: Eyepiece | None, placed: bool, scales: set[SkyScale]
) -> set[Needed]:
    present = {
        Needed.PLACE: placed,
        Needed.SEEING: not scales.isdisjoint(_SEEING),
        Needed.TRANSPARENCY: not scales.isdisjoint(_TRANSPARENCY),
        Needed.APERTURE: tube is not None and tube.aperture_mm is not None,
        Needed.FOCAL_LENGTH: tube is not None and tube.focal_mm is not None,
        Needed.EYEPIECE: eyepiece is not None,
        Needed.POWER: entry.magnification is not None,
        Needed.DESCRIPTION: bool(entry.description),
        Needed.SKETCH: bool(entry.sketch),
    }
    return {needed for needed, there in present.items() if there}


def _next_month(
    catalogue: Catalogue, left: list[int], view: ObservingSite, now: datetime
) -> tuple[str, list[UpNext]]:
    """What is still to be seen and stands high in the night of the middle of next month; the longest first."""
    first = now.astimezone(view.zone).date().replace(day=1)
    middle = (first + timedelta(days=32)).replace(day=15)
    noon = np.datetime64(night_bounds_utc(middle, view.zone)[0].astimezone(UTC).replace(tzinfo=None), "us")
    label = f"{middle:%Y-%m}"
    try:
        spell, _ = dark_spell(noon, view.place, noon)
    except NotDark:
        return label, []
    some = catalogue.only(np.array(left, np.intp))
    windows = dark_windows(some.directions, spell, view.place, UP_FROM_DEG)
    hours = (windows.until_utc - windows.from_utc) / np.timedelta64(1, "h")
    up = [
        UpNext(some.names[k], round(float(hours[k]), 1), round(float(windows.best_alt_deg[k]), 1))
        for k in np.flatnonzero(windows.ever)
    ]
    return label, sorted(up, key=lambda one: -one.hours)
