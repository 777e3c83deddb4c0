"""The fleet over the years: where half of the go-tos of a year's set-ups landed, with its interval."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from obslog.club.overviews.club_facts import FleetYear
from obslog.english import counted
from obslog.estimate_words import arcmin_words, radius_words
from obslog.report.overviews.cells import interval_cells, nothing_yet
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import draw_interval
from obslog.report.pictures.picture import Picture
from obslog.values import Interval

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("year", "nights", "set-ups", "with a landing", "half land within", "from", "to")
MOST_NAMED = 8
"""Of so many years the radii are written beside the points, and of how many set-ups they are."""


def years_picture(years: Sequence[FleetYear], today: date) -> Picture:
    """A point for each year; that of today is not over yet, and is drawn hollow."""
    return Picture(
        name="years",
        title="Where half of the club's go-tos landed, year by year",
        description=_description(years, today),
        columns=COLUMNS,
        rows=tuple(_cells(one, today) for one in years),
        draw=lambda figure, ink: _draw(figure, ink, years, today),
        height_mm=60.0,
    )


def _description(years: Sequence[FleetYear], today: date) -> str:
    known = [(one.year, one.half_arcmin) for one in years if one.half_arcmin is not None]
    if not known:
        return "No landing is on record."
    ends = [known[0], known[-1]] if len(known) > 1 else known
    said = "; ".join(f"{year}: {radius_words(half)}" for year, half in ends)
    unfinished = f" The year {today.year} is not over yet." if known[-1][0] == today.year else ""
    return f"{counted(len(known), 'year')} with landings. {said}.{unfinished}"


def _cells(one: FleetYear, today: date) -> tuple[str, ...]:
    year = f"{one.year} so far" if one.year == today.year else str(one.year)
    return (year, str(one.nights), str(one.setups), str(one.landed), *interval_cells(one.half_arcmin))


def _draw(figure: "Figure", ink: Ink, years: Sequence[FleetYear], today: date) -> None:
    from matplotlib.ticker import MaxNLocator

    known = [(one.year, one.half_arcmin, one.landed) for one in years if one.half_arcmin is not None]
    if not known:
        nothing_yet(figure, ink)
        return
    axes = figure.add_subplot()
    top = 1.3 * max(half.value for _, half, _ in known)
    held = [half.high for _, half, _ in known if half.high is not None and half.high < 3 * top]
    axes.set_ylim(0, 1.12 * max([top, *held]))
    for year, half, landed in known:
        words = f"{arcmin_words(half.value)}\nof {landed}" if len(known) <= MOST_NAMED else ""
        _point(axes, ink, year, half, words, hollow=year == today.year)
    axes.set_xlim(known[0][0] - 0.6, known[-1][0] + 0.8)
    axes.xaxis.set_major_locator(MaxNLocator(nbins=6, integer=True, min_n_ticks=1))
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:.0f}")
    axes.grid(axis="x", visible=False)
    axes.set_ylabel("half land within, arcminutes")


def _point(axes: "Axes", ink: Ink, year: int, half: Interval, words: str, *, hollow: bool) -> None:
    draw_interval(axes, year, half, ink.first, linewidth=1.6, upright=True)
    fill = ink.paper if hollow else ink.first
    axes.plot(year, half.value, "o", markersize=6, color=ink.first, markerfacecolor=fill, zorder=3)
    if words:
        axes.annotate(
            words, (year, half.value), xytext=(7, 0), textcoords="offset points", size=8, va="center"
        )
