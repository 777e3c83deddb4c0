"""Where a mount's axis pointed beside the pole, set-up by set-up, as one would see it in the sky."""

from collections.abc import Sequence
from math import hypot
from statistics import median
from typing import TYPE_CHECKING

from obslog.club.pages.axes_on_sky import AxisOnSky
from obslog.estimate_words import arcmin_words, estimate_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label
from obslog.vocabulary import MountType, counted

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

RINGS_ARCMIN = (10.0, 30.0)
"""What the checklist asks for: 30' for looking, 10' where only one star will be synced."""
COLUMNS = ("night", "set-up", "set up by", "up", "east", "from the pole")
LEVEL_COLUMNS = ("night", "set-up", "set up by", "leans north", "leans east", "from level")
SIDE_MM = 100.0
_LEAST_REACH, _MOST_REACH = 40.0, 120.0  # of the frame from its middle, arcminutes
_HELD = 0.9  # so many of the axes are inside the frame; the others stand at its edge


def axes_picture(mount: str, mount_type: MountType, axes: Sequence[AxisOnSky]) -> Picture:
    """A dot for each set-up whose arrivals determine the axis, the newest marked, with rings of tolerance."""
    level = mount_type is MountType.ALTAZ
    what = "How the base leant" if level else "Where the polar axis pointed beside the pole"
    return Picture(
        name="axes",
        title=f"{what}: {label(mount)}, set-up by set-up",
        description=_description(axes, level=level),
        columns=LEVEL_COLUMNS if level else COLUMNS,
        rows=tuple(_row(axis) for axis in axes),
        draw=lambda figure, ink: _draw(figure, ink, axes, level=level),
        height_mm=SIDE_MM,
    )


def _description(axes: Sequence[AxisOnSky], *, level: bool) -> str:
    known = [axis for axis in axes if axis.determined]
    said = f"{counted(len(known), 'set-up')} of {len(axes)} tell where the axis pointed."
    if not known:
        return said
    away = [axis.separation_arcmin.value for axis in known]
    inside = ", ".join(f"{sum(one <= ring for one in away)} within {ring:.0f}'" for ring in RINGS_ARCMIN)
    newest, where = known[-1], "level" if level else "the pole"
    return (
        f"{said} Half of them within {arcmin_words(median(away))} of {where}; {inside}. The newest, on "
        f"{newest.setup.night}: {estimate_words(newest.separation_arcmin, chr(39))} from {where}."
    )


def _row(axis: AxisOnSky) -> tuple[str, ...]:
    estimates = (axis.up_arcmin, axis.east_arcmin)
    return (
        str(axis.setup.night),
        str(axis.setup.setup),
        axis.observer or "",
        *(estimate_words(one, "'", signed=True) for one in estimates),
        estimate_words(axis.separation_arcmin, "'"),
    )


def _draw(figure: "Figure", ink: Ink, axes: Sequence[AxisOnSky], *, level: bool) -> None:
    known = [axis for axis in axes if axis.determined]
    chart = figure.add_subplot()
    chart.set_aspect("equal")
    reach = _reach(known)
    chart.set_xlim(-reach, reach)
    chart.set_ylim(-reach, reach)
    chart.set_xticks([])
    chart.set_yticks([])
    for side in chart.spines.values():
        side.set_visible(True)
        side.set_color(ink.grid)
    _draw_rings(chart, ink, reach)
    east_is_left = bool(known) and known[-1].facing_south
    _name_edges(chart, ink, level=level, east_is_left=east_is_left)
    if not known:
        chart.text(0, 0.12 * reach, "nothing on record yet", ha="center", color=ink.soft)
    for place, axis in enumerate(known, start=1):
        _draw_axis(chart, ink, axis, reach, east_is_left=east_is_left, newest=place == len(known))


def _reach(known: Sequence[AxisOnSky]) -> float:
    """A frame that holds most of the axes; one that is far away would press the rest together."""
    away = sorted(max(abs(axis.up_arcmin.value), abs(axis.east_arcmin.value)) for axis in known)
    held = away[int(_HELD * (len(away) - 1))] if away else 0.0
    return min(max(1.15 * held, _LEAST_REACH), _MOST_REACH)


def _draw_rings(chart: "Axes", ink: Ink, reach: float) -> None:
    from matplotlib.patches import Circle

    chart.plot(0, 0, marker="+", markersize=9, color=ink.ink, zorder=2)
    for ring in RINGS_ARCMIN:
        if ring > reach:
            continue
        chart.add_patch(Circle((0, 0), ring, fill=False, edgecolor=ink.third, linewidth=1.2, zorder=1))
        chart.text(
            0, -ring, f"{ring:.0f}'", size=8, color=ink.third, ha="center", va="center", zorder=4,
            bbox={"facecolor": ink.paper, "edgecolor": "none", "pad": 1.0},
        )  # fmt: skip


def _name_edges(chart: "Axes", ink: Ink, *, level: bool, east_is_left: bool) -> None:
    up, down = ("leans north", "leans south") if level else ("too high", "too low")
    east, west = ("leans east", "leans west") if level else ("too far east", "too far west")
    left, right = (east, west) if east_is_left else (west, east)
    for words, x, y, turned in (
        (up, 0.5, 0.98, 0),
        (down, 0.5, 0.02, 0),
        (left, 0.02, 0.5, 90),
        (right, 0.98, 0.5, 270),
    ):
        chart.text(
            x, y, words, transform=chart.transAxes, size=8, color=ink.soft, rotation=turned,
            ha="left" if x < 0.1 else "right" if x > 0.9 else "center",
            va="bottom" if y < 0.1 else "top" if y > 0.9 else "center",
        )  # fmt: skip


def _draw_axis(
    chart: "Axes", ink: Ink, axis: AxisOnSky, reach: float, *, east_is_left: bool, newest: bool
) -> None:
    """A dot with its uncertainty both ways; what lies beyond the frame is a pointer at its edge, with its distance."""
    x, y = -axis.east_arcmin.value if east_is_left else axis.east_arcmin.value, axis.up_arcmin.value
    colour = ink.second if newest else ink.first
    beyond = max(abs(x), abs(y)) > reach
    if beyond:
        shorter = 0.9 * reach / max(abs(x), abs(y))
        chart.annotate(
            arcmin_words(hypot(x, y)),
            (x * shorter * 1.08, y * shorter * 1.08),
            (x * shorter * 0.88, y * shorter * 0.88),
            size=7, color=ink.warning, ha="center", va="center", zorder=5,
            arrowprops={"arrowstyle": "-|>", "color": ink.warning, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 7},
        )  # fmt: skip
        return
    east_sd, up_sd = axis.east_arcmin.sd, axis.up_arcmin.sd
    width = 1.2 if newest else 0.6
    chart.plot([x - east_sd, x + east_sd], [y, y], color=colour, linewidth=width, zorder=2)
    chart.plot([x, x], [y - up_sd, y + up_sd], color=colour, linewidth=width, zorder=2)
    chart.plot(x, y, marker="D" if newest else "o", markersize=6 if newest else 3, color=colour, zorder=4)
    if newest:
        left = x > 0
        chart.annotate(
            f"newest: {axis.setup.night}", (x, y), xytext=(-7 if left else 7, 7), textcoords="offset points",
            size=8, color=colour, ha="right" if left else "left", va="bottom", zorder=6,
            bbox={"facecolor": ink.paper, "edgecolor": "none", "pad": 1.0},
        )  # fmt: skip
