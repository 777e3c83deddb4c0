"""What the fit of a mount leaves of each arrival, as arrows over the sky; below it the mount's own errors."""

from collections.abc import Sequence
from dataclasses import astuple, dataclass
from math import cos, floor, hypot, radians, sin
from statistics import fmean
from typing import TYPE_CHECKING

from obslog.club.performance.mount_fit import MechanicalTerm, MountFit, Residual
from obslog.english import counted
from obslog.estimate_words import arcmin_words, estimate_words, size_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import ROW_MM, IntervalRow, draw_interval_rows, interval_of
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label
from obslog.vocabulary.mounts import MECHANICAL_TERMS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("azimuth", "altitude", "east", "north")
SKY_MM, _AXIS_MM = 92.0, 14.0
USUAL_LENGTH = 0.10
"""The arrow of a usual residual, of the sky's radius; the horizon is at 1."""
LONGEST = 0.35
MOST_ARROWS = 400
"""Of more arrivals than these the means of neighbours are drawn, so that what they have in common is seen."""
SQUARE, FEWEST_FOR_A_MEAN = 0.2, 4
NUMBERED = 12
"""So many of the longest arrows say how long they are."""
_WORD, _LINE = 0.16, 0.08  # what a length takes, of the sky's radius
_USUAL, _THICK = 0.004, 0.007  # of the width of the picture
_NICE = (1.0, 2.0, 5.0)
_Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Arrow:
    """From where on the picture of the sky an arrow goes, and its parts to the east and to the north."""

    x: float
    y: float
    east: float
    north: float

    @property
    def length(self) -> float:
        return hypot(self.east, self.north)

    def shortened(self, length: float) -> "Arrow":
        """The same with another length."""
        return Arrow(self.x, self.y, self.east * length / self.length, self.north * length / self.length)


def residuals_picture(found: MountFit) -> Picture:
    """Arrows over the sky, as one sees it lying on one's back, and the mechanical errors with their intervals."""
    rows = _quantities(found)
    tube = f" with {label(found.tube)}" if found.tube else ""
    return Picture(
        name="residuals",
        title=f"What the fit of {label(found.mount)}{tube} leaves of each arrival",
        description=_description(found),
        columns=COLUMNS,
        rows=tuple(_row(residual) for residual in found.residuals),
        draw=lambda figure, ink: _draw(figure, ink, found, rows),
        height_mm=SKY_MM + _AXIS_MM + ROW_MM * len(rows),
    )


def arcmin_of_unit(residuals: Sequence[Residual]) -> float:
    """How many arcminutes an arrow as long as the sky's radius stands for: a usual one is `USUAL_LENGTH` long."""
    return _unit([hypot(one.east_arcmin, one.north_arcmin) for one in residuals])


def _unit(lengths: Sequence[float]) -> float:
    usual = sorted(lengths)[int(0.8 * (len(lengths) - 1))] if lengths else 0.0
    return (usual or 1.0) / USUAL_LENGTH


def sky_place(az_deg: float, alt_deg: float) -> tuple[float, float]:
    """Where something is drawn: the zenith in the middle, the horizon at 1, north up and east left."""
    radius, az = (90.0 - alt_deg) / 90.0, radians(az_deg)
    return -radius * sin(az), radius * cos(az)


def _description(found: MountFit) -> str:
    lengths = sorted(hypot(one.east_arcmin, one.north_arcmin) for one in found.residuals)
    if not lengths:
        return "No arrival has a place in the sky yet."
    half, longest = lengths[len(lengths) // 2], lengths[-1]
    terms = [f"{row.name}: {row.words}." for row in _quantities(found)]
    return " ".join(
        [
            f"{counted(len(lengths), 'arrival')}; half of the arrows are shorter than {arcmin_words(half)}, "
            f"the longest is {arcmin_words(longest)}.",
            *terms,
        ]
    )


def _row(one: Residual) -> tuple[str, ...]:
    offsets = (f"{offset:+z.1f}'" for offset in (one.east_arcmin, one.north_arcmin))
    return (f"{one.az_deg:.1f}°", f"{one.alt_deg:.1f}°", *offsets)


def _quantities(found: MountFit) -> list[IntervalRow]:
    eras = len({one.since for one in found.mechanical})
    noise = IntervalRow(
        name="scatter per axis",
        interval=interval_of(found.newest_noise_arcmin),
        words=size_words(found.newest_noise_arcmin, "'"),
    )
    return [*(_term(one, eras) for one in found.mechanical), noise]


def _term(one: MechanicalTerm, eras: int) -> IntervalRow:
    since = f" {one.since}" if eras > 1 else ""
    return IntervalRow(
        name=f"{MECHANICAL_TERMS.get(one.term, one.term)}{since}",
        interval=interval_of(one.size_arcmin),
        words=estimate_words(one.size_arcmin, "'", signed=True),
    )


def _draw(figure: "Figure", ink: Ink, found: MountFit, rows: Sequence[IntervalRow]) -> None:
    halves = figure.subfigures(2, 1, height_ratios=(SKY_MM, _AXIS_MM + ROW_MM * len(rows)), squeeze=False)
    sky, terms = (half.add_subplot() for half in halves[:, 0])
    _draw_sky(sky, ink)
    taken = _draw_arrows(sky, ink, [one for one in found.residuals if one.alt_deg >= 0])
    _say_degrees(sky, ink, taken)
    draw_interval_rows(terms, ink, rows, reference=0.0)
    terms.set_xlabel("arcminutes, with 95 % intervals", size=8)


def _draw_sky(axes: "Axes", ink: Ink) -> None:
    from matplotlib.patches import Circle

    axes.set_axis_off()
    axes.set_aspect("equal")
    axes.set_xlim(-1.38, 1.38)
    axes.set_ylim(-1.22, 1.12)
    for alt_deg, colour in ((0, ink.soft), (30, ink.grid), (60, ink.grid)):
        axes.add_patch(
            Circle((0, 0), (90 - alt_deg) / 90, fill=False, edgecolor=colour, linewidth=0.8, zorder=1)
        )
    axes.plot(0, 0, marker="+", markersize=6, color=ink.soft, zorder=1)
    for name, az_deg in (("N", 0), ("E", 90), ("S", 180), ("W", 270)):
        x, y = sky_place(az_deg, 0)
        axes.text(1.06 * x, 1.06 * y, name, ha="center", va="center", color=ink.ink)


def _say_degrees(axes: "Axes", ink: Ink, taken: Sequence[_Place]) -> None:
    """How high the circles stand, each where most room is left."""
    for alt_deg in (30, 60):
        x, y = max(
            (sky_place(az_deg, alt_deg) for az_deg in range(180, 540, 10)),
            key=lambda place: min((_apart(place, one) for one in taken), default=0.0),
        )
        axes.text(
            x, y, f"{alt_deg}°", size=8, color=ink.soft, ha="center", va="center", zorder=2,
            bbox={"facecolor": ink.paper, "edgecolor": "none", "pad": 0.8},
        )  # fmt: skip


def _apart(one: _Place, other: _Place) -> float:
    """How far words stand from one another; they are wider than high."""
    return hypot(one[0] - other[0], 1.5 * (one[1] - other[1]))


def _draw_arrows(axes: "Axes", ink: Ink, residuals: Sequence[Residual]) -> list[_Place]:
    """Gives the places where no other word should stand."""
    if not residuals:
        axes.text(0, 0.15, "nothing on record yet", ha="center", color=ink.soft)
        return []
    usual = arcmin_of_unit(residuals)
    arrows = [_arrow(one) for one in residuals]
    gross = sorted((one for one in arrows if one.length > LONGEST * usual), key=lambda one: -one.length)
    shown = [one for one in arrows if one.length <= LONGEST * usual]
    if many := len(shown) > MOST_ARROWS:
        shown, gross = means_of(shown), gross[:NUMBERED]
        usual = _unit([one.length for one in shown])
    _quiver(axes, ink.first, shown, usual)
    _quiver(axes, ink.warning, [one.shortened(LONGEST) for one in gross], 1.0, width=_THICK)
    lengths = _say_lengths(axes, ink, gross[:NUMBERED])
    _draw_scale(axes, ink, usual)
    _say_how_to_read(axes, ink, means=many, gross=len(gross))
    drawn = [*((one, usual) for one in shown), *((one.shortened(LONGEST), 1.0) for one in gross)]
    return [*lengths, *(place for one, unit in drawn for place in _along(one, unit))]


def _along(one: Arrow, unit: float) -> list[_Place]:
    """The tail, the middle and the tip of an arrow as it is drawn."""
    return [(one.x - part * one.east / unit, one.y + part * one.north / unit) for part in (0.0, 0.5, 1.0)]


def _arrow(one: Residual) -> Arrow:
    return Arrow(*sky_place(one.az_deg, one.alt_deg), one.east_arcmin, one.north_arcmin)


def means_of(arrows: Sequence[Arrow]) -> list[Arrow]:
    """The mean of the arrows of each small square of the sky, at their mean place; a few alone are left out."""
    squares: dict[tuple[int, int], list[Arrow]] = {}
    for one in arrows:
        squares.setdefault((floor(one.x / SQUARE), floor(one.y / SQUARE)), []).append(one)
    return [
        Arrow(*(fmean(part) for part in zip(*(astuple(one) for one in inside), strict=True)))
        for inside in squares.values()
        if len(inside) >= FEWEST_FOR_A_MEAN
    ]


def _quiver(axes: "Axes", colour: str, arrows: Sequence[Arrow], unit: float, width: float = _USUAL) -> None:
    """Arrows from where the arrivals were: up is north on the sky, left is east."""
    if not arrows:
        return
    axes.quiver(
        [one.x for one in arrows],
        [one.y for one in arrows],
        [-one.east / unit for one in arrows],
        [one.north / unit for one in arrows],
        angles="xy",
        scale_units="xy",
        scale=1,
        width=width,
        headwidth=4,
        headlength=4.5,
        headaxislength=4,
        color=colour,
        zorder=3,
    )


def _say_lengths(axes: "Axes", ink: Ink, gross: Sequence[Arrow]) -> list[_Place]:
    """The lengths of arrows that are drawn shorter than they are, at their ends; set aside where two would meet.

    Gives the places of the words.
    """
    taken: list[_Place] = [sky_place(az_deg, 0) for az_deg in (0, 90, 180, 270)]
    for one in gross:
        end = one.shortened(LONGEST + 0.06)
        x, y = one.x - end.east, one.y + end.north
        aside = _LINE if y > 0 else -_LINE
        while any(abs(x - other) < _WORD and abs(y - above) < _LINE for other, above in taken):
            y += aside
        taken.append((x, y))
        axes.text(
            x, y, arcmin_words(one.length), size=8, color=ink.warning, ha="center", va="center", zorder=4
        )
    return taken


def _draw_scale(axes: "Axes", ink: Ink, unit: float) -> None:
    """An arrow of a round length."""
    most = 0.2 * unit
    sizes = (step * 10.0**power for power in range(-3, 5) for step in _NICE)
    size = max((one for one in sizes if one <= most), default=most)
    axes.annotate(
        "",
        (-1.36 + size / unit, -1.14),
        (-1.36, -1.14),
        arrowprops={"arrowstyle": "-|>", "color": ink.ink, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 7},
    )
    axes.text(-1.36, -1.08, f"{size:g}'", size=8, color=ink.ink)


def _say_how_to_read(axes: "Axes", ink: Ink, *, means: bool, gross: int) -> None:
    each = "each arrow: the mean\nof neighbouring arrivals;\n" if means else "arrows: "
    axes.text(
        1.38, -1.22, f"{each}up is north, left is east", size=8, color=ink.soft, ha="right", va="bottom"
    )
    if gross:
        lengths = "with their length" if gross <= NUMBERED else "the longest\nwith their length"
        axes.text(
            1.38, 1.08, f"thick: drawn shorter,\n{lengths}", size=8, color=ink.warning, ha="right", va="top"
        )
