"""The evening's plan on a time line: when each target is high enough, its turn, the meridian, and the Moon."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from obslog.club.targets.planned_targets import MoonTonight, PlannedTarget, TargetPlan
from obslog.english import counted
from obslog.estimate_words import percent_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label
from obslog.report.sky_pictures.hours_axis import hour_number, over_hours
from obslog.times import computed_local

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("at", "target", "altitude", "high enough from", "until", "meridian", "seen")
ROW_MM, _AXES_MM = 5.6, 28.0
_NAME_LETTERS = 26


def evening_picture(plan: TargetPlan, zone: ZoneInfo, *, minutes_each: float) -> Picture:
    """A line for each target in the order of the plan, over the dark hours planned for; the Moon above them."""
    return Picture(
        name="evening",
        title=f"Targets at {label(plan.site)}, night of {plan.night}",
        description=_description(plan, zone),
        columns=COLUMNS,
        rows=tuple(_row(target, zone) for target in plan.targets),
        draw=lambda figure, ink: _draw(figure, ink, plan, zone, timedelta(minutes=minutes_each)),
        height_mm=_AXES_MM + ROW_MM * (len(plan.targets) + 1),
    )


def _description(plan: TargetPlan, zone: ZoneInfo) -> str:
    begin, end = computed_local(plan.dark_from_utc, zone), computed_local(plan.dark_until_utc, zone)
    targets = [
        f"{computed_local(one.at_utc, zone)} {one.full_title}, {one.alt_deg:.0f}° up." for one in plan.targets
    ]
    flips = [f"{counted(plan.flips, 'change')} of side."] if plan.mount is not None else []
    return " ".join(
        [f"Planned in the dark from {begin} to {end}. {_moon_words(plan.moon, zone)}.", *flips, *targets]
        if targets
        else [
            f"Planned in the dark from {begin} to {end}. {_moon_words(plan.moon, zone)}. No target is left."
        ]
    )


def _moon_words(moon: MoonTonight, zone: ZoneInfo) -> str:
    up = [f"{computed_local(one.from_utc, zone)} to {computed_local(one.until_utc, zone)}" for one in moon.up]
    when = f"up {' and '.join(up)}" if up else "down"
    return f"Moon {percent_words(moon.illuminated)} lit, {when}"


def _row(target: PlannedTarget, zone: ZoneInfo) -> tuple[str, ...]:
    at, first, last, meridian = (
        computed_local(when, zone)
        for when in (target.at_utc, target.from_utc, target.until_utc, target.transit_utc)
    )
    return (at, target.full_title, f"{target.alt_deg:.0f}°", first, last, meridian, str(target.sure))


def _draw(figure: "Figure", ink: Ink, plan: TargetPlan, zone: ZoneInfo, each: timedelta) -> None:
    axes = figure.add_subplot()
    over_hours(axes, plan.dark_from_utc, plan.dark_until_utc, zone)
    axes.tick_params(axis="x", labelsize=8)
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="y", visible=False)
    names = [f"Moon, {percent_words(plan.moon.illuminated)}"]
    names += [label(target.title, _NAME_LETTERS) for target in plan.targets]
    axes.set_yticks(range(len(names)), names, size=8)
    for tick in axes.get_yticklabels():
        tick.set_color(ink.ink)
    axes.set_ylim(len(names) - 0.4, -0.6)
    for up in plan.moon.up:
        _bar(axes, ink.second, 0, up.from_utc, up.until_utc, height=0.3)
    for place, target in enumerate(plan.targets, start=1):
        _draw_target(axes, ink, place, target, each)
    _draw_flips(axes, ink, plan.targets)
    begin, end = computed_local(plan.dark_from_utc, zone), computed_local(plan.dark_until_utc, zone)
    axes.set_title(f"planned from {begin}", size=8, color=ink.soft, loc="left")
    axes.set_title(f"dark until {end}", size=8, color=ink.soft, loc="right")
    axes.set_xlabel(
        "bar: high enough; block: its turn; tick: on the meridian\nbehind it: how high it stands at its turn",
        size=8,
    )


def _draw_target(axes: "Axes", ink: Ink, place: int, target: PlannedTarget, each: timedelta) -> None:
    _bar(axes, ink.shade, place, target.from_utc, target.until_utc, height=0.62, edge=ink.first)
    _bar(axes, ink.first, place, target.at_utc, target.at_utc + each, height=0.62)
    if target.from_utc <= target.transit_utc <= target.until_utc:
        meridian = hour_number(target.transit_utc)
        axes.plot([meridian, meridian], [place - 0.42, place + 0.42], color=ink.soft, linewidth=1.4, zorder=4)
    axes.text(
        1.02, place, f"{target.alt_deg:.0f}°", transform=axes.get_yaxis_transform(), va="center_baseline", size=8,
        color=ink.ink,
    )  # fmt: skip


def _bar(
    axes: "Axes", colour: str, place: int, from_utc: datetime, until_utc: datetime, *, height: float,
    edge: str | None = None,
) -> None:  # fmt: skip
    start = hour_number(from_utc)
    axes.barh(
        place, hour_number(until_utc) - start, left=start, height=height, color=colour,
        edgecolor=edge or colour, linewidth=0.6 if edge else 0.0, zorder=2,
    )  # fmt: skip


def _draw_flips(axes: "Axes", ink: Ink, targets: Sequence[PlannedTarget]) -> None:
    """A line where the tube goes to the other side of the pier between one target and the next."""
    told = [(place, target.pier_side) for place, target in enumerate(targets) if target.pier_side]
    for (_, before), (place, side) in pairwise(told):
        if before == side:
            continue
        axes.axhline(place + 0.5, color=ink.warning, linewidth=1.0, linestyle="--", zorder=3)
        axes.text(
            0.01, place + 0.5, f"flip: tube {side}", transform=axes.get_yaxis_transform(), size=8,
            color=ink.warning, va="center", zorder=5, bbox={"facecolor": ink.paper, "edgecolor": "none", "pad": 0.5},
        )  # fmt: skip
