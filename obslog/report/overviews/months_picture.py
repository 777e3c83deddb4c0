"""Nights counted month by month, as bars on an axis of days."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from obslog.club.overviews.months import MonthCount
from obslog.english import counted
from obslog.report.overviews.cells import nothing_yet
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.pictures.time_axis import day_number, over_days
from obslog.times import months_later

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("month", "nights")
_BAR = 0.84  # of a month
_FEWEST_MONTHS = 6  # on the axis, so that one month is no giant bar


def months_picture(title: str, months: Sequence[MonthCount], newer: date | None = None) -> Picture:
    """A bar for each month; the nights before the day `newer` are paler, also within a month."""
    return Picture(
        name="months",
        title=title,
        description=_description(months),
        columns=COLUMNS,
        rows=tuple((f"{one.month:%Y-%m}", str(one.nights)) for one in months),
        draw=lambda figure, ink: _draw(figure, ink, months, newer),
        height_mm=56.0,
    )


def _description(months: Sequence[MonthCount]) -> str:
    total = sum(one.nights for one in months)
    if not total:
        return "No night is on record."
    most = max(months, key=lambda one: one.nights)
    without = sum(one.nights == 0 for one in months)
    return (
        f"{counted(total, 'night')} in {counted(len(months), 'month')}; the most in {most.month:%Y-%m}: {most.nights}. "
        f"{counted(without, 'month')} without any."
    )


def _draw(figure: "Figure", ink: Ink, months: Sequence[MonthCount], newer: date | None) -> None:
    from matplotlib.ticker import MaxNLocator

    if not any(one.nights for one in months):
        nothing_yet(figure, ink)
        return
    axes = figure.add_subplot()
    for one in months:
        _bar(axes, ink, one)
    last = months_later(months[-1].month, 1) - timedelta(days=1)
    first = min(months[0].month, months_later(months[-1].month, 1 - _FEWEST_MONTHS))
    over_days(axes, [first, last])
    if newer is not None and months[0].month < newer < last:
        axes.axvline(day_number(newer), color=ink.soft, linewidth=0.8, linestyle=":")
    axes.yaxis.set_major_locator(MaxNLocator(nbins=5, integer=True, min_n_ticks=1))
    axes.set_ylim(bottom=0)
    axes.grid(axis="x", visible=False)
    axes.set_ylabel("nights in a month")


def _bar(axes: "Axes", ink: Ink, one: MonthCount) -> None:
    """The older nights of the month paler, the newer ones on top of them."""
    first, after = day_number(one.month), day_number(months_later(one.month, 1))
    for bottom, top, colour in ((0, one.older, ink.shade), (one.older, one.nights, ink.first)):
        if top > bottom:
            axes.bar(
                first + (1 - _BAR) / 2 * (after - first),
                top - bottom,
                bottom=bottom,
                width=_BAR * (after - first),
                align="edge",
                color=colour,
                edgecolor=ink.first,
                linewidth=0.6,
            )
