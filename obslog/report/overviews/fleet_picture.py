"""The fleet in one picture: where each mount's go-tos land, with its interval, the worst above."""

from typing import TYPE_CHECKING

from obslog.club.overviews.fleet import Fleet, FleetLine
from obslog.english import counted
from obslog.estimate_words import radius_words
from obslog.report.overviews.cells import interval_cells, nothing_yet
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import ROW_MM, IntervalRow, draw_interval_rows
from obslog.report.pictures.picture import Picture

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COLUMNS = (
    "mount", "set-ups", "since", "half land within", "from", "to", "itself, the club's average being 1", "from", "to",
)  # fmt: skip
_EDGE_MM = 21.0


def fleet_picture(fleet: Fleet) -> Picture:
    """A row for each mount with landings; the line is the mean of all their set-ups.

    What stands out by its colour and shape is a mount that is itself to blame.
    """
    return Picture(
        name="fleet",
        title="Where half of each mount's go-tos land, with 95 % intervals",
        description=_description(fleet),
        columns=COLUMNS,
        rows=tuple(_cells(line) for line in fleet.lines),
        draw=lambda figure, ink: _draw(figure, ink, fleet),
        height_mm=_EDGE_MM + ROW_MM * max(len(fleet.lines), 2),
    )


def _description(fleet: Fleet) -> str:
    if not fleet.lines or fleet.all_setups is None:
        return "Nothing is on record yet."
    worst, best = fleet.lines[0], fleet.lines[-1]
    mounts = counted(len({line.mount for line in fleet.lines}), "mount")
    worse = [line.name for line in fleet.lines if line.worse_itself]
    said = (
        f"{mounts}. The farthest out is {worst.name}: {radius_words(worst.half_arcmin)}; "
        f"the nearest {best.name}: {radius_words(best.half_arcmin)}. The mean of all set-ups: "
        f"{radius_words(fleet.all_setups)}."
    )
    return (
        f"{said} By themselves, whoever sets them up, farther out than average: {', '.join(worse) or 'none'}."
    )


def _cells(line: FleetLine) -> tuple[str, ...]:
    since = str(line.since) if line.since else "ever"
    own = interval_cells(line.own, "", 2)
    return (line.name, str(line.setups), since, *interval_cells(line.half_arcmin), *own)


def _draw(figure: "Figure", ink: Ink, fleet: Fleet) -> None:
    if not fleet.lines or fleet.all_setups is None:
        nothing_yet(figure, ink)
        return
    axes = figure.add_subplot()
    rows = [
        IntervalRow(
            name=line.name,
            interval=line.half_arcmin,
            words=f"{radius_words(line.half_arcmin)} of {line.setups}",
            alarming=line.worse_itself,
        )
        for line in fleet.lines
    ]
    draw_interval_rows(axes, ink, rows, reference=fleet.all_setups.value, logarithmic=True)
    axes.set_xlabel(
        "half land within, arcminutes (logarithmic)\nof so many set-ups; line: all of them", size=8
    )
