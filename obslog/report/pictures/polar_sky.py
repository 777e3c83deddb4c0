"""Where a mount's axis pointed beside the pole, set-up by set-up, as one would see it in the sky."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, nan
from statistics import median
from typing import TYPE_CHECKING

from obslog.club.pages.axes_on_sky import AxisOnSky
from obslog.english import counted
from obslog.estimate_words import arcmin_words, estimate_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label
from obslog.vocabulary.mounts import MountType

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

RINGS_ARCMIN = (10.0, 30.0)
"""What the checklist asks for: 30' for looking, 10' where only one star will be synced."""
COLUMNS = ("night", "set-up", "set up by", "up", "east, in the sky", "from the pole")
LEVEL_COLUMNS = ("night", "set-up", "set up by", "leans north", "leans east", "from level")
SIDE_MM = 96.0
_LEAST_REACH, _MOST_REACH = 40.0, 120.0  # of the frame from its middle, arcminutes
_HELD = 0.9  # so many of the axes are inside the frame; the others stand at its edge


@dataclass(frozen=True, slots=True)
class _Dot:
    """An axis on the chart, arcminutes right of the pole and above it."""

    axis: AxisOnSky
    x: float
    y: float

    def cross(self, way: str) -> tuple[tuple[float, float], tuple[float, float]]:
        """The ends of the bar of one standard deviation, to the sides or up and down."""
        if way == "east":
            sd = self.axis.east_arcmin.sd
            return (self.x - sd, self.y), (self.x + sd, self.y)
        sd = self.axis.up_arcmin.sd
        return (self.x, self.y - sd), (self.x, self.y + sd)


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
        width_mm=SIDE_MM,
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
        why = "no axis is determined yet" if axes else "nothing on record yet"
        chart.text(0, 0.12 * reach, why, ha="center", color=ink.soft)
    dots = [
        _Dot(axis, -axis.east_arcmin.value if east_is_left else axis.east_arcmin.value, axis.up_arcmin.value)
        for axis in known
    ]
    inside = [dot for dot in dots if max(abs(dot.x), abs(dot.y)) <= reach]
    _draw_dots(chart, ink, inside)
    for dot in dots:
        if dot not in inside:
            _draw_beyond(chart, ink, dot, reach)
    if dots and dots[-1] in inside:
        _draw_newest(chart, ink, dots[-1])


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
            0, -ring, f"{ring:.0f}'", size=8, color=ink.third, ha="center", va="center", zorder=1.2,
            bbox={"facecolor": ink.paper, "edgecolor": "none", "pad": 1.0},
        )  # fmt: skip


def _name_edges(chart: "Axes", ink: Ink, *, level: bool, east_is_left: bool) -> None:
    up, down = ("leans north", "leans south") if level else ("too high", "too low")
    east, west = ("leans east", "leans west") if level else ("too far east", "too far west")
    left, right = (east, west) if east_is_left else (west, east)
    for words, x, y, turned, side, height in (
        (up, 0.5, 1.01, 0, "center", "bottom"),
        (down, 0.5, -0.01, 0, "center", "top"),
        (left, -0.01, 0.5, 90, "right", "center"),
        (right, 1.01, 0.5, 270, "left", "center"),
    ):
        chart.text(
            x,
            y,
            words,
            transform=chart.transAxes,
            size=8,
            color=ink.soft,
            rotation=turned,
            ha=side,
            va=height,
        )


def _draw_dots(chart: "Axes", ink: Ink, dots: Sequence[_Dot]) -> None:
    """Dots on crosses as long as their uncertainties; each kind is one line with gaps, for a line each takes long."""
    for way in ("east", "up"):
        xs, ys = [], []
        for dot in dots:
            ends = dot.cross(way)
            xs += [ends[0][0], ends[1][0], nan]
            ys += [ends[0][1], ends[1][1], nan]
        chart.plot(xs, ys, color=ink.first, linewidth=0.5, zorder=1.5)
    chart.plot(
        [dot.x for dot in dots], [dot.y for dot in dots], linestyle="none", marker="o", markersize=3.5,
        color=ink.first, zorder=3,
    )  # fmt: skip


def _draw_beyond(chart: "Axes", ink: Ink, dot: _Dot, reach: float) -> None:
    """An arrow at the edge of the frame toward what lies beyond it, with its distance."""
    shorter = 0.9 * reach / max(abs(dot.x), abs(dot.y))
    chart.annotate(
        arcmin_words(hypot(dot.x, dot.y)),
        (dot.x * shorter * 1.02, dot.y * shorter * 1.02),
        (dot.x * shorter * 0.82, dot.y * shorter * 0.82),
        size=7, color=ink.warning, ha="center", va="center", zorder=5,
        arrowprops={"arrowstyle": "-|>", "color": ink.warning, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 7},
    )  # fmt: skip


def _draw_newest(chart: "Axes", ink: Ink, dot: _Dot) -> None:
    for way in ("east", "up"):
        chart.plot(*zip(*dot.cross(way), strict=True), color=ink.second, linewidth=1.4, zorder=4)
    chart.plot(dot.x, dot.y, marker="D", markersize=6, color=ink.second, zorder=5)
    chart.text(  # below the frame, where it covers no dot
        1.0, -0.01, f"newest: {dot.axis.setup.night}", transform=chart.transAxes, size=8, color=ink.second,
        ha="right", va="top",
    )  # fmt: skip
