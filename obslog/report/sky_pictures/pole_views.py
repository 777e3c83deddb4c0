"""The pole star about the pole as one sees it: by eye, in a straight polar scope, in a right-angle one."""

from math import cos, radians, sin
from typing import TYPE_CHECKING

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.pole import PoleNow
from obslog.club.sky.sky_words import LOWEST_POLE_STAR_DEG, from_straight_up
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("view", "where the star stands", "on a clock's face")
_HOURS = 12


def views_of(found: PoleNow) -> list[tuple[str, float]]:
    """The three views with the hour of the clock's face at which the star stands in each."""
    return [
        ("by eye", found.dial_by_eye_hours),
        ("straight polar scope", found.dial_inverted_hours),
        ("right-angle polar scope", found.dial_mirrored_hours),
    ]


def pole_picture(found: PoleNow, view: ObservingSite) -> Picture:
    """Three reticles side by side, the pole in the middle of each, straight up at the top."""
    return Picture(
        name="pole",
        title=(
            f"{found.star} about the pole at {label(view.site)}, {found.at_utc.astimezone(view.zone):%Y-%m-%d %H:%M}"
        ),
        description=_description(found),
        columns=COLUMNS,
        rows=tuple((view, from_straight_up(dial), f"{dial:.2f} h") for view, dial in views_of(found)),
        draw=lambda figure, ink: _draw(figure, ink, found),
        height_mm=58.0,
    )


def _description(found: PoleNow) -> str:
    low = ""
    if found.alt_deg < LOWEST_POLE_STAR_DEG:
        low = f" It is {found.alt_deg:.1f}° up: too low to set the axis by."
    views = "; ".join(f"{view}: {from_straight_up(dial)}" for view, dial in views_of(found))
    return f"{found.star} is {found.distance_arcmin:.1f}' from the pole.{low} {views}."


def dial_place(hours: float) -> tuple[float, float]:
    """Where an hour of a clock's face is drawn, on a circle of radius 1: 12 at the top, 3 on the right."""
    angle = radians(30.0 * hours)
    return sin(angle), cos(angle)


def _draw(figure: "Figure", ink: Ink, found: PoleNow) -> None:
    for axes, (view, dial) in zip(figure.subplots(1, 3), views_of(found), strict=True):
        _draw_reticle(axes, ink, dial)
        axes.set_title(view, size=8, color=ink.ink)
        words = from_straight_up(dial).replace(", ", ",\n").replace(" of straight", "\nof straight")
        axes.text(0, -1.4, words, size=8, color=ink.ink, ha="center", va="top", linespacing=1.3)
    said = f"{found.distance_arcmin:.1f}' from the pole; the pole is in the middle, straight up at 12"
    if found.alt_deg < LOWEST_POLE_STAR_DEG:
        said = f"{found.alt_deg:.1f}° up: too low to set the axis by"
    figure.supxlabel(said, size=8, color=ink.warning if found.alt_deg < LOWEST_POLE_STAR_DEG else ink.soft)


def _draw_reticle(axes: "Axes", ink: Ink, dial: float) -> None:
    from matplotlib.patches import Circle

    axes.set_axis_off()
    axes.set_aspect("equal")
    axes.set_xlim(-1.45, 1.45)
    axes.set_ylim(-2.6, 1.4)
    axes.add_patch(Circle((0, 0), 1, fill=False, edgecolor=ink.soft, linewidth=1.0, zorder=1))
    for hour in range(1, _HOURS + 1):
        x, y = dial_place(hour)
        axes.plot([0.93 * x, x], [0.93 * y, y], color=ink.soft, linewidth=0.8, zorder=1)
        if hour % 3 == 0:
            axes.text(1.22 * x, 1.22 * y, str(hour), size=8, color=ink.soft, ha="center", va="center")
    x, y = dial_place(dial)
    axes.plot([0, x], [0, y], color=ink.first, linewidth=0.8, zorder=2)
    axes.plot(0, 0, marker="+", markersize=8, color=ink.ink, zorder=3)
    axes.plot(x, y, marker="*", markersize=11, color=ink.first, zorder=4)
