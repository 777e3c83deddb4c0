"""A mount's error budget: what each cause adds, and within what half of the go-tos would land without it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.club.landing.error_budget import CauseLine, MountBudget, worth_mending
from obslog.english import counted
from obslog.estimate_words import arcmin_words, percent_words, radius_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import ROW_MM, IntervalRow, draw_interval_rows
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("cause", "adds", "from", "to", "share", "half without", "from", "to")
_AXES_MM = 27.0


def budget_picture(found: MountBudget) -> Picture:
    """The causes with the largest gain first: bars of what each adds, and beside them what is gained without it."""
    tube = f" with {label(found.tube)}" if found.tube else ""
    return Picture(
        name="budget",
        title=f"What adds to the landing errors of {label(found.mount)}{tube}, since {found.since}",
        description=_description(found),
        columns=COLUMNS,
        rows=tuple(_row(cause) for cause in found.causes),
        draw=lambda figure, ink: _draw(figure, ink, found),
        height_mm=_AXES_MM + ROW_MM * max(len(found.causes), 1),
    )


def _description(found: MountBudget) -> str:
    setups, go_tos = counted(found.setups, "set-up"), counted(found.go_tos, "go-to")
    now = f"{go_tos} in {setups}: half of them land within {radius_words(found.half_arcmin)}."
    causes = [
        f"{one.cause}: {arcmin_words(one.adds_arcmin.value)} added, {percent_words(one.share)} of the square; without "
        f"it half would land within {arcmin_words(one.half_without_arcmin.value)}."
        for one in found.causes
    ]
    return " ".join([now, *causes])


def _row(cause: CauseLine) -> tuple[str, ...]:
    adds, without = (
        ["" if end is None else f"{end:z.1f}'" for end in (one.value, one.low, one.high)]
        for one in (cause.adds_arcmin, cause.half_without_arcmin)
    )
    return (cause.cause, *adds, percent_words(cause.share), *without)


def _draw(figure: "Figure", ink: Ink, found: MountBudget) -> None:
    if not found.causes:
        figure.text(0.5, 0.5, "nothing on record yet", ha="center", color=ink.soft)
        return
    left, right = figure.subplots(1, 2, width_ratios=(1.2, 1))
    worth = worth_mending(found)
    without = [
        IntervalRow(
            name="",
            interval=one.half_without_arcmin,
            words=arcmin_words(one.half_without_arcmin.value),
            alarming=one in worth,
        )
        for one in found.causes
    ]
    _draw_adds(left, ink, found, worth)
    draw_interval_rows(right, ink, without, reference=found.half_arcmin.value)
    left.set_xlabel("adds, arcminutes", size=8)
    right.set_xlabel("half within, without it,\narcminutes\nred diamond: worth mending", size=8)
    right.set_xlim(left=0)
    now = f"with all {arcmin_words(found.half_arcmin.value)}"
    right.text(found.half_arcmin.value, -0.75, now, size=8, color=ink.soft, ha="center", va="bottom")


def _draw_adds(axes: "Axes", ink: Ink, found: MountBudget, worth: Sequence[CauseLine]) -> None:
    for place, one in enumerate(found.causes):
        adds = one.adds_arcmin
        colour = ink.warning if one in worth else ink.first
        axes.barh(place, adds.value, height=0.55, color=ink.shade, edgecolor=colour, linewidth=1.0, zorder=2)
        ends = (adds.value if end is None else end for end in (adds.low, adds.high))
        axes.plot(list(ends), [place, place], color=colour, linewidth=1.6, zorder=3)
        axes.text(
            1.05,
            place,
            percent_words(one.share),
            transform=axes.get_yaxis_transform(),
            va="center_baseline",
            size=8,
            color=ink.ink,
        )
    axes.set_yticks(range(len(found.causes)), [label(one.cause, 24) for one in found.causes], size=8)
    for tick in axes.get_yticklabels():
        tick.set_color(ink.ink)
    axes.set_ylim(len(found.causes) - 0.4, -0.6)
    axes.set_xlim(left=0)
    axes.tick_params(axis="y", length=0)
    axes.tick_params(axis="x", labelsize=8)
    axes.spines["left"].set_color(ink.soft)
    axes.grid(axis="y", visible=False)
    axes.text(1.05, -0.75, "share", transform=axes.get_yaxis_transform(), size=8, color=ink.soft, va="bottom")
