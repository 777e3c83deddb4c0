"""Nights of the demo club's truth after its two years, typed in line by line at the prompt.

Mount model, controllers, star places and eyes are those of `seed_demo`, which shares nothing with the program's own.
"""

import io
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

import numpy as np

from obslog.cli.prompt.piped import LineAnswer, PipedLines
from obslog.cli.terminal.screen import Screen
from obslog.club.evening.asked import PromptSettings
from obslog.club.live.answers import LiveKind
from obslog.records.database import Database
from seed_demo.arrivals import landings
from seed_demo.club import MOUNTS, SITES
from seed_demo.seasons import dark_hours
from seed_demo.setups import Setup
from seed_demo.sheet import reading_of
from seed_demo.truth import DAYS, HABITS, SetupKey, SetupTruth, era_on, scatter_on
from seed_demo.visits import Visit, visits_of

CAREFUL = replace(HABITS[0], wrong_star=0.0, typing_slip=0.0)
NORTHERN_SITE = SITES[0]
ACCUSING = {LiveKind.FIRST_STAR, LiveKind.MISFIT, LiveKind.AXIS, LiveKind.MECHANICS}
"""What says that something is wrong, and so had better be right."""


@dataclass(frozen=True)
class Typed:
    """One arrival as it was read and typed: where it stood, and what is wrong with it."""

    visit: Visit
    east_arcmin: float
    north_arcmin: float


@dataclass(frozen=True)
class Evening:
    """A night's truth and what was typed of it."""

    setup: Setup
    typed: list[Typed]


def an_evening(
    night: date,
    mount_name: str,
    rng: np.random.Generator,
    *,
    polar: tuple[float, float],
    hours_wrong: float = 0.0,
) -> Evening:
    """A set-up of that mount: its true axis, and by how many hours its controller believes the sky turned."""
    mount = next(mount for mount in MOUNTS if mount.name == mount_name)
    dark = dark_hours(night, NORTHERN_SITE)
    assert dark is not None
    era = era_on(mount_name, DAYS - 1)
    home = rng.normal(0.0, CAREFUL.home_sd_arcmin, 2)
    truth = SetupTruth(
        SetupKey(night, NORTHERN_SITE.name, mount_name, 1), CAREFUL.name, era.tube, polar[0], polar[1],
        home[0], home[1], era.cone_arcmin, era.squareness_arcmin, era.sag_arcmin,
        scatter_on(era, DAYS - 1), None, hours_wrong,
    )  # fmt: skip
    start = dark[0] + timedelta(minutes=int(rng.integers(0, 60)))
    setup = Setup(truth, NORTHERN_SITE, mount, CAREFUL, start, min(start + timedelta(hours=3), dark[1]))
    visits = visits_of(0, setup, rng)
    landed = landings([setup], visits, rng)
    readings = [
        reading_of(setup, visit, float(east), float(north), rng)
        for visit, east, north in zip(
            visits, landed.offset_east_arcmin, landed.offset_north_arcmin, strict=True
        )
    ]
    return Evening(
        setup,
        [
            Typed(visit, round(2 * one.east_arcmin) / 2, round(2 * one.north_arcmin) / 2)
            for visit, one in zip(visits, readings, strict=True)
        ],
    )


@dataclass(frozen=True)
class Told:
    """What the prompt said of its own accord, behind how many lines of arrivals; a question has no kind."""

    lines: int
    words: str
    kind: LiveKind | None = None
    size_arcmin: float | None = None
    sd_arcmin: float | None = None

    @property
    def accuses(self) -> bool:
        """Whether it says that something is wrong, or asks whether it is."""
        return self.kind is None or self.kind in ACCUSING


@dataclass
class AtThePrompt:
    """Types lines at the prompt, each at its own moment, as a program of the club's would through a pipe."""

    database: Database
    now: datetime = field(init=False)
    lines: PipedLines = field(init=False)

    def __post_init__(self) -> None:
        self.lines = PipedLines(
            database=self.database,
            screen=Screen(io.StringIO(), io.StringIO()),
            settings=PromptSettings(),
            keep=lambda _: None,
            clock=lambda: self.now,
            silent=True,
        )

    def types(self, typed: str, now: datetime) -> LineAnswer:
        self.now = now
        (answer,) = self.lines.run([typed])
        return answer

    def must(self, typed: str, now: datetime) -> LineAnswer:
        answer = self.types(typed, now)
        assert answer.refused is None, (typed, answer.refused)
        return answer


def line_of(typed: Typed, german: bool) -> str:
    """One arrival as a careful observer types it; sure of the side of the pier where it is not the usual one."""
    visit, east, north = typed.visit, typed.east_arcmin, typed.north_arcmin
    where = f"{abs(east):g}{'E' if east >= 0 else 'W'} {abs(north):g}{'N' if north >= 0 else 'S'}"
    side = (" pw" if visit.tube_west else " pe") if german else ""
    return f"{visit.role} {visit.name} {where}{side}{'!' if visit.unusual_side else ''}"


def said_of(prompt: AtThePrompt, evening: Evening, most: int = 99) -> list[Told]:
    """What is said while an evening is typed in; a line that is asked about is typed again, and then is sure."""
    truth, begun = evening.setup.truth, evening.setup.start_utc - timedelta(minutes=10)
    prompt.must(f"night start {truth.key.site} with {truth.observer}", begun)
    prompt.must(f"setup start {truth.key.mount}, {truth.tube}, {truth.observer}", begun)
    told = []
    for count, typed in enumerate(evening.typed[:most], start=1):
        if not np.isfinite(typed.east_arcmin + typed.north_arcmin):
            continue
        line, now = line_of(typed, evening.setup.mount.mount_type == "german"), typed.visit.utc
        answer = prompt.types(line, now)
        if answer.refused is not None:
            told.append(Told(count, f"{answer.refused.message} {answer.refused.hint}"))
            answer = prompt.must(f"{line}!", now)
        told += [Told(count, one.words, one.kind, one.size_arcmin, one.sd_arcmin) for one in answer.said]
    return told


def with_another_star(evening: Evening, place: int, away: tuple[float, float]) -> Evening:
    """The same evening, on which one arrival was read at another star than the one meant, so far east and north."""
    wrong = evening.typed[place]
    wrong = replace(wrong, east_arcmin=wrong.east_arcmin + away[0], north_arcmin=wrong.north_arcmin + away[1])
    return replace(evening, typed=[*evening.typed[:place], wrong, *evening.typed[place + 1 :]])
