"""How a thing is judged: from evidence to reasons, and from reasons to ready, watch, service, out or retired.

The numbers are those of the rule book. A mount is judged only from several set-ups by several observers; whether its
landing error is its own is asked twice, of the split among mounts and observers, and of the joint fit of its axes.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from obslog.club.rule_book import Rules
from obslog.errors import quoted
from obslog.values import Estimate
from obslog.vocabulary import Step

THE_PERSONS = (
    Step.PACK,
    Step.GROUND,
    Step.LEVEL,
    Step.COOL,
    Step.KEY_IN,
    Step.POLAR_AXIS,
    Step.SYNC_STARS,
    Step.WRITE_DOWN,
)
SURE = 1.96  # standard deviations: the ends of a 95 % interval


class Status(StrEnum):
    READY = "ready"
    WATCH = "watch"
    SERVICE = "service"
    OUT = "out"
    RETIRED = "retired"


GRAVITY = {status: place for place, status in enumerate(Status)}


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a thing is judged so: what it speaks for, how much it weighs, in words, and the numbers behind it."""

    status: Status
    weight: float
    words: str
    evidence: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Effect:
    """What a mount does to the landing error beside the club's average: a factor with its 95 % interval."""

    ratio: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class OwnErrors:
    """What the joint fit finds in the mount itself, and how far from the pole its set-ups stood in the median."""

    scatter_arcmin: Estimate
    cone_arcmin: Estimate
    squareness_arcmin: Estimate
    polar_axis_off_arcmin: float
    setups: int


@dataclass(frozen=True, slots=True)
class Growth:
    """The trend's verdict since the last mechanical service, its yearly factor with interval, and recent alarms."""

    verdict: str
    per_year: float | None
    low: float | None
    high: float | None
    setups: int
    alarm_nights: list[date]


@dataclass(frozen=True, slots=True)
class OpenSnags:
    """Snags at one step that are not mended, and among how many members they came up."""

    step: Step
    count: int
    members: int
    newest: date


@dataclass(frozen=True, slots=True)
class MountEvidence:
    """What the records say of a mount; None where they say nothing. `setups` count since the last mechanical service.

    `raw_ratio` is its landing error beside the club's as it stands, before observers and sites are taken out.
    """

    setups: int
    observers: int
    usual_site: str | None
    setups_last_year: int
    serviced_on: date | None = None
    effect: Effect | None = None
    raw_ratio: float | None = None
    own: OwnErrors | None = None
    growth: Growth | None = None
    snags: Sequence[OpenSnags] = ()


@dataclass(frozen=True, slots=True)
class Standing:
    """What the store-room's papers say of any thing; `missing` of a kit are its parts, of a thing itself is ''."""

    retired_on: date | None = None
    retired_why: str | None = None
    holder: str | None = None
    due_on: date | None = None
    missing: dict[str, date | None] = field(default_factory=dict)
    service_due: list[str] = field(default_factory=list)
    idle_days: int | None = None
    battery_percent: float | None = None


def status_of(reasons: Sequence[Reason]) -> Status:
    """The gravest that any reason speaks for; ready where none does."""
    return max((reason.status for reason in reasons), key=GRAVITY.__getitem__, default=Status.READY)


def ranked(reasons: Sequence[Reason]) -> list[Reason]:
    """The gravest first, and within each the weightiest."""
    return sorted(reasons, key=lambda reason: (-GRAVITY[reason.status], -reason.weight))


def standing_reasons(standing: Standing, rules: Rules, today: date) -> Iterator[Reason]:
    """Retired, out, overdue, missing, service due, idle, a tired battery."""
    if standing.retired_on is not None:
        why = f": {standing.retired_why}" if standing.retired_why else ""
        yield Reason(
            Status.RETIRED, 1, f"retired on {standing.retired_on}{why}", {"retired_on": standing.retired_on}
        )
        return
    if standing.holder is not None and standing.due_on is not None:
        late = (today - standing.due_on).days
        overdue = f"; overdue by {late} days" if late > rules["overdue-out"] else ""
        words = f"out with {standing.holder}, due {standing.due_on}{overdue}"
        evidence = {"member": standing.holder, "due_on": standing.due_on, "days_late": max(late, 0)}
        yield Reason(Status.OUT, 2 if overdue else 1, words, evidence)
    for part, since in standing.missing.items():
        when = f" since {since}" if since else ""
        words = f"{part} is missing{when}" if part else f"missing{when}"
        yield Reason(Status.WATCH if part else Status.OUT, 3, words, {"part": part or None, "since": since})
    for words in standing.service_due:
        yield Reason(Status.SERVICE, 2, words, {})
    if standing.battery_percent is not None and standing.battery_percent < rules["battery-percent"]:
        words = f"at its last test it had {standing.battery_percent:.0f} % of its capacity"
        yield Reason(Status.SERVICE, 2, words, {"capacity_percent": standing.battery_percent})
    if standing.idle_days is not None and standing.idle_days >= rules["idle-days"]:
        words = f"neither used nor lent for {standing.idle_days} days"
        yield Reason(Status.WATCH, 0.5, words, {"idle_days": standing.idle_days})


def mount_reasons(name: str, mount: MountEvidence, rules: Rules) -> Iterator[Reason]:
    """What the nights say of a mount; beside its snags only that they are too few, where they are."""
    yield from _snag_reasons(mount.snags, rules)
    if mount.setups < rules["fewest-setups"] or mount.observers < rules["fewest-observers"]:
        yield _too_few(name, mount)
        return
    if mount.growth is not None:
        yield from _growth_reasons(mount.growth, rules)
    if mount.own is not None:
        yield from _own_reasons(mount.own, rules)
    yield from _landing_reasons(mount, rules)


def _snag_reasons(snags: Sequence[OpenSnags], rules: Rules) -> Iterator[Reason]:
    """The same step, again and again, with different people: at the mount's own steps that speaks of the mount."""
    for snag in snags:
        if snag.members >= rules["snag-members"]:
            status = Status.READY if snag.step in THE_PERSONS else Status.WATCH
            words = (
                f"{snag.count} snags at the step {snag.step} are not mended, from {snag.members} different members, "
                f"the newest on {snag.newest}"
            )
            words += "; a step that people do, whatever the mount" if status is Status.READY else ""
            evidence = {"step": snag.step, "count": snag.count, "members": snag.members}
            yield Reason(status, 1 + snag.members / 10, words, evidence)


def _too_few(name: str, mount: MountEvidence) -> Reason:
    since = f" since the service of {mount.serviced_on}" if mount.serviced_on else ""
    site = quoted(mount.usual_site) if mount.usual_site else "SITE"
    words = (
        f"{mount.setups} set-up{'' if mount.setups == 1 else 's'}{since} by {mount.observers} "
        f"observer{'' if mount.observers == 1 else 's'} are too few to judge; a pointing run would settle it: "
        f"obslog pointing run-plan {quoted(name)} --site {site}"
    )
    return Reason(Status.WATCH, 1, words, {"setups": mount.setups, "observers": mount.observers})


def _growth_reasons(growth: Growth, rules: Rules) -> Iterator[Reason]:
    if growth.verdict == "worsening" and growth.per_year is not None:
        status = Status.SERVICE if growth.per_year >= rules["growth-service"] else Status.WATCH
        words = (
            f"its landing error grows: x {growth.per_year:.2f} a year (95 %: {growth.low:.2f} to {growth.high:.2f}) "
            f"over {growth.setups} set-ups"
        )
        evidence = {
            "per_year": growth.per_year,
            "low": growth.low,
            "high": growth.high,
            "setups": growth.setups,
        }
        yield Reason(status, 3, words, evidence)
    nights = growth.alarm_nights
    if len(nights) >= rules["alarms-watch"]:
        words = f"the control chart was left to the worse on {len(nights)} nights, lastly {nights[-1]}"
        yield Reason(Status.WATCH, 2, words, {"nights": nights})


def _own_reasons(own: OwnErrors, rules: Rules) -> Iterator[Reason]:
    scatter = own.scatter_arcmin
    surely = scatter.value - SURE * scatter.sd
    if surely > rules["scatter-watch"]:
        status = Status.SERVICE if surely > rules["scatter-service"] else Status.WATCH
        words = (
            f"its own scatter is {scatter.value:.1f} ± {scatter.sd:.1f}' per axis over {scatter.count} readings, "
            "whoever set it up: look for slack in the gears and clutches"
        )
        yield Reason(status, 2 + surely / 100, words, _numbers("scatter", scatter))
    for term, remedy, found in (
        ("cone error", "the tube sits crooked; shim or turn the rings", own.cone_arcmin),
        ("squareness", "the axes are not square; for the workshop", own.squareness_arcmin),
    ):
        if found.determined and abs(found.value) - SURE * found.sd > rules["crooked-watch"]:
            words = f"{term} {found.value:+.1f} ± {found.sd:.1f}' over {found.count} readings: {remedy}"
            yield Reason(Status.WATCH, 1.5, words, _numbers(term, found))


def _landing_reasons(mount: MountEvidence, rules: Rules) -> Iterator[Reason]:
    """Whose the landing error is, where the split among mounts and observers says it is more than the club's."""
    effect, own = mount.effect, mount.own
    if effect is None or effect.low <= rules["effect-watch"]:
        return
    lands = (
        f"it lands x {effect.ratio:.2f} of the club's (95 %: {effect.low:.2f} to {effect.high:.2f}) "
        f"over {mount.setups} set-ups by {mount.observers} observers"
    )
    evidence: dict[str, object] = {
        "ratio": effect.ratio,
        "low": effect.low,
        "high": effect.high,
        "setups": mount.setups,
        "observers": mount.observers,
        "raw_ratio": mount.raw_ratio,
    }
    if own is None:
        yield Reason(Status.WATCH, 2, f"{lands}; the fit cannot tell why", evidence)
        return
    scatter, polar = own.scatter_arcmin, own.polar_axis_off_arcmin
    evidence |= {"scatter_arcmin": scatter.value, "polar_axis_off_arcmin": polar}
    if scatter.value - SURE * scatter.sd > rules["scatter-watch"]:
        hidden = ""
        if mount.raw_ratio is not None and mount.raw_ratio < effect.ratio:
            hidden = f"; those who set it up hide part of it, as it stands it is x {mount.raw_ratio:.2f}"
        yield Reason(Status.SERVICE, 2.5, f"{lands}, and its own scatter says the same{hidden}", evidence)
    elif _surely_sound(own, rules):
        words = (
            f"{lands}, but not by its own fault: its scatter is {scatter.value:.1f} ± {scatter.sd:.1f}' and its axes "
            f"are true; its {own.setups} set-ups stood {polar:.0f}' from the pole in the median: help the borrowers"
        )
        yield Reason(Status.READY, 2.5, words, evidence)
    else:
        yield Reason(Status.WATCH, 2, lands, evidence)


def _surely_sound(own: OwnErrors, rules: Rules) -> bool:
    """Scatter, cone error and squareness all known, and even at the ends of their intervals within the thresholds."""
    scatter = own.scatter_arcmin
    axes = (own.cone_arcmin, own.squareness_arcmin)
    return scatter.value + SURE * scatter.sd < rules["scatter-watch"] and all(
        found.determined and abs(found.value) + SURE * found.sd < rules["crooked-watch"] for found in axes
    )


def _numbers(what: str, found: Estimate) -> dict[str, object]:
    return {"term": what, "value_arcmin": found.value, "sd_arcmin": found.sd, "count": found.count}
