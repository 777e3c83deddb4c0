"""The sheet of a night, in the order in which typing up asks: the night and its sky, then each set-up with its lines.

Where site, mount and day are known, the stars to sync on stand on it with their times, as the brief has them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from obslog.angles import compass_point
from obslog.club.checklist.briefing import Brief, MountBrief, brief
from obslog.club.forms.blocks import Block, Box, Boxes, Column, ColumnKind, Explanation, Form, Heading, Table
from obslog.club.forms.cautions import outdoors
from obslog.club.forms.line_words import lines_to_write
from obslog.club.forms.scale_boxes import scale_blocks
from obslog.club.paper import questions
from obslog.club.paper.questions import PageQuestion
from obslog.club.register.club_day import club_day
from obslog.club.register.observing_site import ObservingSite, instant_at, observing_site
from obslog.club.routine.club_steps import steps_in_force
from obslog.club.sky.sky_words import dark_words, moon_words
from obslog.english import capitalised
from obslog.grammar.typed_times import read_instant_utc
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount, Site
from obslog.times import computed_local
from obslog.vocabulary.steps import StepKey

TITLE = "Night sheet"
LINES_OF_SETUP = 28  # both sides of a paper
STAR_COLUMNS = (
    Column(title="no.", share=5),
    Column(title="sync on", share=25),
    Column(title="magnitude", share=13, kind=ColumnKind.NUMBER),
    Column(title="at", share=12),
    Column(title="altitude", share=13, kind=ColumnKind.NUMBER),
    Column(title="direction", share=20),
    Column(title="tube", share=12),
)
TARGET_COLUMNS = (
    Column(title="at", share=12),
    Column(title="then go to", share=70),
    Column(title="altitude", share=18, kind=ColumnKind.NUMBER),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedNight:
    """What is known of the night when the sheet is printed; `at` is a time of day or a whole instant."""

    site: str | None = None
    mounts: tuple[str, ...] = ()
    on: date | None = None
    at: str | None = None
    setups: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class _Evening:
    """The names as on record, and what is planned where the sheet is for a certain evening."""

    site: str | None
    lat_deg: float | None
    mounts: tuple[str, ...]
    night: date | None
    brief: Brief | None = None
    zone: ZoneInfo | None = None
    steps: Sequence[StepKey] = ()


def night_sheet(database: Database, wanted: PlannedNight, now: datetime) -> Form:
    """The sheet, blank where nothing is known. Raises UnknownName, SiteWithoutPlace, SiteWithoutZone."""
    evening = _evening(database, wanted, now)
    setups = max(wanted.setups, len(evening.mounts), 1)
    about = ", ".join(part for part in (evening.site, evening.night and f"night of {evening.night}") if part)
    blocks: list[Block] = [*_of_night(evening)]
    for number in range(setups):
        mount = evening.mounts[number] if number < len(evening.mounts) else None
        blocks += _of_setup(evening, number + 1, mount)
    return Form(
        title=TITLE, about=about, dated=evening.night or club_day(database, now), blocks=tuple(blocks)
    )


def _evening(database: Database, wanted: PlannedNight, now: datetime) -> _Evening:
    with database.read() as session:
        record = by_name(session, Site, wanted.site) if wanted.site else None
        site, lat_deg = (record.name, record.lat_deg) if record else (None, None)
        mounts = tuple(dict.fromkeys(by_name(session, Mount, name).name for name in wanted.mounts))
        steps = steps_in_force(session).keys
    if site is None or (wanted.on is None and wanted.at is None):
        return _Evening(site=site, lat_deg=lat_deg, mounts=mounts, night=wanted.on, steps=steps)
    view = observing_site(database, site)
    at_utc = when_meant(view, wanted.on, wanted.at, now)
    planned = brief(database, view, at_utc, mounts) if mounts else None
    return _Evening(
        site=site,
        lat_deg=lat_deg,
        mounts=mounts,
        night=view.night_at(at_utc),
        brief=planned,
        zone=view.zone,
        steps=steps,
    )


def when_meant(view: ObservingSite, on: date | None, at: str | None, now: datetime) -> datetime:
    """The instant for which stars are planned: a time of the night that is named, nine that evening, or this evening.

    Raises OutsideNight, and what reading times raises.
    """
    if on is not None and at is not None:
        return read_instant_utc(at, on, view.zone)
    day = None if on is None else on.isoformat()
    return instant_at(view, at or day, now, planning=True)


def _of_night(evening: _Evening) -> Iterator[Block]:
    yield outdoors(*(evening.brief.cautions if evening.brief else ()))
    if evening.brief is not None and evening.zone is not None:
        dark = dark_words(evening.brief.sun_moon, evening.zone)
        planned = f" at {computed_local(evening.brief.at_utc, evening.zone)}"
        moon = moon_words(evening.brief.sun_moon, evening.zone, at=planned)
        yield Explanation(f"Tonight: {dark}. Moon: {moon}.")
    yield Boxes(
        (
            _box(questions.SITE, evening.site),
            _box(questions.NIGHT, f"{evening.night}" if evening.night else None),
        )
    )
    yield Boxes((_box(questions.PRESENT),))
    yield Heading(questions.SKY.label)
    yield Explanation(f"{_hint(questions.SKY)} Fill in the boxes that you can; each scale keeps its name.")
    yield from scale_blocks(evening.lat_deg)
    yield Boxes((_box(questions.NOTE, lines=2),))


def _of_setup(evening: _Evening, number: int, mount: str | None) -> Iterator[Block]:
    begins = '; type "setup" first' if number > 1 else ""
    yield Heading(f"Set-up {number}{begins}", new_page=True)
    yield Boxes(
        (_box(questions.MOUNT, mount), _box(questions.TUBE), _box(questions.EYEPIECE)),
    )
    yield Boxes((_box(questions.OBSERVER, share=2.0), _box(questions.STARTED_AT)))
    if evening.brief is not None and evening.zone is not None:
        yield from _stars(evening.brief, evening.zone, mount)
        if number == 1:
            yield from _targets(evening.brief, evening.zone)
    whose = f"Set-up {number}: {mount}" if mount else f"Set-up {number}"
    yield from lines_to_write(LINES_OF_SETUP, evening.steps, whose)


def _stars(planned: Brief, zone: ZoneInfo, mount: str | None) -> Iterator[Block]:
    """The stars to sync on in their order, or why none could be planned."""
    one = next((one for one in planned.mounts if one.mount == mount), None)
    if one is None:
        return
    if one.not_planned is not None:
        yield Explanation(one.not_planned)
    elif one.stars and planned.too_light is not None:
        yield Explanation(planned.too_light)
    elif one.stars:
        yield Table(columns=STAR_COLUMNS, rows=tuple(_star_rows(one, computed_local(planned.sync_utc, zone))))
        tube = f" with {one.tube}" if one.tube else ""
        yield Explanation(f"Planned{tube} for {computed_local(planned.sync_utc, zone)}, {zone.key}.")


def _star_rows(one: MountBrief, at: str) -> Iterator[tuple[str, ...]]:
    for star in one.stars:
        yield (
            f"{star.order}",
            star.name,
            f"{star.magnitude:.1f}",
            at,
            f"{star.alt_deg:.0f}°",
            f"{compass_point(star.az_deg)}, {star.az_deg:.0f}°",
            star.pier_side or "",
        )


def _targets(planned: Brief, zone: ZoneInfo) -> Iterator[Block]:
    if planned.targets:
        rows = ((computed_local(t.at_utc, zone), t.title, f"{t.alt_deg:.0f}°") for t in planned.targets)
        yield Table(columns=TARGET_COLUMNS, rows=tuple(rows))


def _box(asked: PageQuestion, filled: str | None = None, *, share: float = 1.0, lines: int = 1) -> Box:
    return Box(label=asked.label, hint=asked.hint, filled=filled, share=share, lines=lines)


def _hint(asked: PageQuestion) -> str:
    return f"{capitalised(asked.hint)}."
