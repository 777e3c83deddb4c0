"""The whole sky as one sees it lying on one's back, with what a night's set-ups went to."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from obslog.club.pages.arrival_places import ArrivalPlace
from obslog.english import counted
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.pictures.residual_sky import sky_place
from obslog.report.plain_text import label
from obslog.vocabulary.arrivals import Role

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("at", "mount", "set-up", "role", "object", "azimuth", "altitude", "landed")
SIDE_MM, _KEY_MM = 100.0, 8.0
SHAPES = {Role.SYNC: "D", Role.CHECK: "o", Role.GOTO: "^"}
WORDS = {Role.SYNC: "sync", Role.CHECK: "check", Role.GOTO: "go-to"}
_DIRECTIONS = (("N", 0), ("NE", 45), ("E", 90), ("SE", 135), ("S", 180), ("SW", 225), ("W", 270), ("NW", 315))
_COMPASS_DEG = 45
_LETTER, _LINE = 0.053, 0.095  # what a letter and a line of a name take, of the sky's radius
_NAME_LETTERS = 14


def sky_chart(title: str, places: Sequence[ArrivalPlace]) -> Picture:
    """Syncs, checks and go-tos where they stood at their times; names where there is room for them."""
    return Picture(
        name="sky",
        title=title,
        description=_description(places),
        columns=COLUMNS,
        rows=tuple(_row(place) for place in places),
        draw=lambda figure, ink: _draw(figure, ink, places),
        width_mm=SIDE_MM,
        height_mm=SIDE_MM + _KEY_MM,
    )


def direction_words(az_deg: float) -> str:
    """The nearest of the eight directions, as it is written on the chart."""
    return _DIRECTIONS[round(az_deg / _COMPASS_DEG) % len(_DIRECTIONS)][0]


def _description(places: Sequence[ArrivalPlace]) -> str:
    known = [(one.alt_deg, one.az_deg, one.target) for one in places if one.alt_deg is not None]
    counts = ", ".join(
        counted(sum(one.role is role for one in places), words)
        for role, words in WORDS.items()
        if any(one.role is role for one in places)
    )
    if not known:
        return f"{counts or 'No arrivals'}; where in the sky is not known."
    lowest, highest = min(known), max(known)
    return (
        f"{counts}. The lowest, {lowest[2]}, stood at {lowest[0]:.0f}° in the {direction_words(lowest[1] or 0.0)}; the "
        f"highest, {highest[2]}, at {highest[0]:.0f}°."
    )


def _row(place: ArrivalPlace) -> tuple[str, ...]:
    angles = ("" if angle is None else f"{angle:.1f}°" for angle in (place.az_deg, place.alt_deg))
    return (place.at, place.mount, str(place.setup), WORDS[place.role], place.target, *angles, place.landed)


def _draw(figure: "Figure", ink: Ink, places: Sequence[ArrivalPlace]) -> None:
    axes = figure.add_subplot()
    axes.set_axis_off()
    axes.set_aspect("equal")
    axes.set_xlim(-1.17, 1.17)
    axes.set_ylim(-1.17, 1.17)
    _draw_frame(axes, ink)
    up = [one for one in places if one.alt_deg is not None and one.alt_deg >= 0]
    if not up:
        axes.text(0, 0.15, "nothing on record yet", ha="center", color=ink.soft)
        return
    colours = {Role.SYNC: ink.second, Role.CHECK: ink.first, Role.GOTO: ink.third}
    for role, shape in SHAPES.items():
        points = [_point(one) for one in up if one.role is role]
        if points:
            axes.plot(
                *zip(*points, strict=True), linestyle="none", marker=shape, markersize=5,
                markerfacecolor=ink.paper if role is Role.GOTO else colours[role], markeredgecolor=colours[role],
                color=colours[role], label=WORDS[role], zorder=3,
            )  # fmt: skip
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, 0.0), ncols=3, handletextpad=0.2, columnspacing=1.5)
    for name, x, y, side in _names(up):
        axes.text(x, y, name, size=8, color=ink.ink, ha=side, va="center", zorder=4)


def _draw_frame(axes: "Axes", ink: Ink) -> None:
    """The horizon, two circles of height with their degrees, the zenith, and the eight directions."""
    from matplotlib.patches import Circle

    for alt_deg in (0, 30, 60):
        radius = (90 - alt_deg) / 90
        colour = ink.grid if alt_deg else ink.soft
        axes.add_patch(Circle((0, 0), radius, fill=False, edgecolor=colour, linewidth=0.9, zorder=1))
        if alt_deg:
            axes.text(
                0, -radius, f"{alt_deg}°", size=7, color=ink.soft, ha="center", va="center", zorder=2,
                bbox={"facecolor": ink.paper, "edgecolor": "none", "pad": 0.8},
            )  # fmt: skip
    axes.plot(0, 0, marker="+", markersize=6, color=ink.soft, zorder=1)
    for name, az_deg in _DIRECTIONS:
        x, y = sky_place(az_deg, 0)
        size, colour = (9, ink.ink) if len(name) == 1 else (7, ink.soft)
        axes.text(1.09 * x, 1.09 * y, name, ha="center", va="center", size=size, color=colour)


def _point(one: ArrivalPlace) -> tuple[float, float]:
    return sky_place(one.az_deg or 0.0, one.alt_deg or 0.0)


def _names(up: Sequence[ArrivalPlace]) -> Iterator[tuple[str, float, float, str]]:
    """A name beside the first place of each object, right or left of it, where it runs into nothing."""
    points = [_point(one) for one in up]
    taken = [(x - 0.03, x + 0.03, y) for x, y in points]
    taken += [(-0.08, 0.08, -(90 - alt_deg) / 90) for alt_deg in (30, 60)]  # where the heights are written
    named: set[str] = set()
    for one, (x, y) in zip(up, points, strict=True):
        name = label(one.target, _NAME_LETTERS)
        if name in named:
            continue
        length = _LETTER * len(name)
        for left, right, side in (
            (x + 0.05, x + 0.05 + length, "left"),
            (x - 0.05 - length, x - 0.05, "right"),
        ):
            if (
                left > -1.15
                and right < 1.15
                and not any(
                    left < other_right and other_left < right and abs(y - other) < _LINE
                    for other_left, other_right, other in taken
                )
            ):
                named.add(name)
                taken.append((left, right, y))
                yield name, left if side == "left" else right, y, side
                break
