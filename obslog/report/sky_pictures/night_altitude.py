"""How high something stands through a night, with twilight and the Moon, and through the year that follows."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Literal
from zoneinfo import ZoneInfo

import numpy as np

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.when import MonthOf, WhenIs
from obslog.estimate_words import percent_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label
from obslog.report.sky_pictures.hours_axis import hour_number, over_hours
from obslog.sky.evening.night_course import NightCourse
from obslog.times import computed_local

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

COLUMNS = ("when", "altitude, or hours in one night")
NIGHT_MM, YEAR_MM = 74.0, 44.0
SUN_TO_DRAW_DEG = 3.0
"""The picture begins and ends where the Sun stands so high."""
TWILIGHTS_DEG = (-18.0, -12.0, -6.0, -50 / 60)
"""Above each of these altitudes of the Sun the ground gets a layer more of the shade; below the first it is night."""
_LAYER = 0.28
_WORDS_DEG = 15.0  # what words and the room about them take of the altitudes
_TOP_DEG = 101.0  # room for the words above what passes overhead
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def night_picture(found: WhenIs, course: NightCourse, view: ObservingSite) -> Picture:
    """The night above; below it, for each month of the year that follows, the longest time in one night."""
    zone = view.zone
    return Picture(
        name="night",
        title=f"{label(found.title)} at {label(view.site)}, night of {found.night}",
        description=_description(found, course, zone),
        columns=COLUMNS,
        rows=tuple(_rows(found, course, zone)),
        draw=lambda figure, ink: _draw(figure, ink, found, course, zone),
        height_mm=NIGHT_MM + (YEAR_MM if found.year else 0.0),
    )


def _description(found: WhenIs, course: NightCourse, zone: ZoneInfo) -> str:
    parts = [f"{found.title} {found.course}."]
    parts += [
        f"On the meridian at {computed_local(at, zone)}, {alt:.0f}° up."
        for at, alt in zip(found.transits_utc, found.transit_alt_deg, strict=True)
    ]
    if found.best_utc is not None and found.best_alt_deg is not None:
        parts.append(
            f"Best at {computed_local(found.best_utc, zone)}, {found.best_alt_deg:.0f}° up; above {found.above_deg:g}° "
            f"for {found.dark_hours:.1f} hours of the dark."
        )
    else:
        parts.append(f"Not above {found.above_deg:g}° in the dark of this night.")
    parts.append(f"The Moon is {course.moon_phase}, {percent_words(course.moon_illuminated)} lit.")
    if best := max(found.year, key=lambda month: month.hours, default=None):
        parts.append(
            f"The longest in the year that follows is {best.hours:.1f} hours in one night, in {best.month}."
            if best.hours > 0
            else "On no night of the year that follows does it reach that in the dark."
        )
    return " ".join(parts)


def _rows(found: WhenIs, course: NightCourse, zone: ZoneInfo) -> list[tuple[str, str]]:
    """The altitude at each whole hour of the clock, then the months."""
    hours = [
        (f"{local:%Y-%m-%d %H:%M}", f"{alt:.1f}°")
        for when, alt in zip(_instants(course), course.alt_deg, strict=True)
        if (local := when.astimezone(zone)).minute == 0
    ]
    return [*hours, *((month.month, f"{month.hours:.1f} h") for month in found.year)]


def _instants(course: NightCourse) -> list[datetime]:
    return [when.replace(tzinfo=UTC) for when in course.when_utc.astype("datetime64[s]").tolist()]


def _draw(figure: "Figure", ink: Ink, found: WhenIs, course: NightCourse, zone: ZoneInfo) -> None:
    if not found.year:
        _draw_night(figure.add_subplot(), ink, found, course, zone)
        return
    night, year = figure.subplots(2, 1, height_ratios=(NIGHT_MM, YEAR_MM))
    _draw_night(night, ink, found, course, zone)
    _draw_year(year, ink, found)


def _draw_night(axes: "Axes", ink: Ink, found: WhenIs, course: NightCourse, zone: ZoneInfo) -> None:
    instants = _instants(course)
    hours = np.array([hour_number(when) for when in instants])
    first, last = _drawn_from_to(course)
    over_hours(axes, instants[first], instants[last], zone)
    axes.set_ylim(0, _TOP_DEG)
    axes.set_yticks([0, 30, 60, 90], ["0°", "30°", "60°", "90°"])
    axes.tick_params(labelsize=8)
    _draw_twilight(axes, ink, hours, course.sun_airless_alt_deg)
    axes.axhline(found.above_deg, color=ink.soft, linewidth=0.8, linestyle=":", zorder=1.5)
    axes.plot(hours, course.alt_deg, color=ink.first, linewidth=2.2, zorder=3)
    if found.name != "Moon":
        axes.plot(hours, course.moon_alt_deg, color=ink.second, linewidth=1.4, linestyle="--", zorder=2)
        _name_moon(axes, ink, course, hours, slice(first, last + 1))
    _name_meridian(axes, ink, found, zone)
    axes.set_ylabel("altitude", size=8)


def _drawn_from_to(course: NightCourse) -> tuple[int, int]:
    """The places of the first and the last instant of the night; where the Sun never sets, all of the day."""
    down = np.flatnonzero(course.sun_airless_alt_deg < SUN_TO_DRAW_DEG)
    return (int(down[0]), int(down[-1])) if down.size > 1 else (0, course.when_utc.size - 1)


def _draw_twilight(
    axes: "Axes", ink: Ink, hours: "NDArray[np.float64]", sun_alt_deg: "NDArray[np.float64]"
) -> None:
    """The ground, lighter or darker as the sky is; the words stand in the middle of the darkest."""
    for limit in TWILIGHTS_DEG:
        axes.fill_between(
            hours, 0, _TOP_DEG, where=sun_alt_deg >= limit, color=ink.shade, alpha=_LAYER, linewidth=0, zorder=0.5
        )  # fmt: skip
    first, last = axes.get_xlim()
    dark = hours[sun_alt_deg < TWILIGHTS_DEG[0]]
    up_all_day = bool(sun_alt_deg.min() > TWILIGHTS_DEG[-1])
    light = "the Sun does not set" if up_all_day else "twilight all night"
    words, middle = ("dark", float(dark.mean())) if dark.size else (light, (first + last) / 2)
    axes.text(middle, _TOP_DEG + 1, words, size=8, color=ink.soft, ha="center", va="bottom")


def _name_moon(
    axes: "Axes", ink: Ink, course: NightCourse, hours: "NDArray[np.float64]", seen: slice
) -> None:
    """The Moon's name above its highest place in the picture, or below it where the other curve is in the way."""
    highest = int(seen.start) + int(np.argmax(course.moon_alt_deg[seen]))
    alt_deg, hour = float(course.moon_alt_deg[highest]), float(hours[highest])
    if alt_deg <= 0:
        return
    below = alt_deg > _WORDS_DEG and 0 <= float(course.alt_deg[highest]) - alt_deg < _WORDS_DEG
    axes.annotate(
        f"Moon, {percent_words(course.moon_illuminated)} lit", (hour, alt_deg), xytext=(0, -6 if below else 5),
        textcoords="offset points", ha=_side(axes, hour), va="top" if below else "bottom", size=8,
        color=ink.second, zorder=5,
    )  # fmt: skip


def _name_meridian(axes: "Axes", ink: Ink, found: WhenIs, zone: ZoneInfo) -> None:
    first, last = axes.get_xlim()
    for at, alt in zip(found.transits_utc, found.transit_alt_deg, strict=True):
        hour = hour_number(at)
        if not (first <= hour <= last and alt > 0):
            continue
        axes.plot(hour, alt, marker="o", markersize=5, color=ink.first, zorder=4)
        axes.annotate(
            f"meridian {computed_local(at, zone)}, {alt:.0f}°", (hour, alt), xytext=(0, 6),
            textcoords="offset points", ha=_side(axes, hour), va="bottom", size=8, color=ink.first, zorder=5,
        )  # fmt: skip


def _side(axes: "Axes", hour: float) -> Literal["left", "center", "right"]:
    """How words about an hour are aligned, so that they stay inside the picture."""
    first, last = axes.get_xlim()
    place = (hour - first) / (last - first)
    return "left" if place < 0.25 else "right" if place > 0.75 else "center"


def _draw_year(axes: "Axes", ink: Ink, found: WhenIs) -> None:
    months = found.year
    if not any(month.hours > 0 for month in months):
        axes.set_axis_off()
        words = f"on no night of the year above {found.above_deg:g}° in the dark"
        axes.text(0.5, 0.5, words, transform=axes.transAxes, ha="center", color=ink.soft)
        return
    axes.bar(range(len(months)), [month.hours for month in months], width=0.7, color=ink.first, zorder=2)
    for place, month in enumerate(months):
        if month.best_alt_deg is not None:
            axes.text(
                place,
                month.hours,
                f"{month.best_alt_deg:.0f}°",
                ha="center",
                va="bottom",
                size=8,
                color=ink.ink,
            )
    axes.set_xticks(range(len(months)), _month_names(months), size=8)
    axes.tick_params(axis="x", length=0)
    axes.tick_params(axis="y", labelsize=8)
    axes.set_ylim(0, 1.18 * max(month.hours for month in months))
    axes.grid(axis="x", visible=False)
    axes.set_ylabel("hours", size=8)
    axes.set_title(f"longest dark time above {found.above_deg:g}° in one night, and the highest then", size=8)


def _month_names(months: Sequence[MonthOf]) -> list[str]:
    """The names of the months; the first one, unless it is December, and each January have their year below them."""
    names = []
    for place, month in enumerate(months):
        year, number = month.month.split("-")
        named_year = number == "01" or (place == 0 and number != "12")
        names.append(f"{_MONTHS[int(number) - 1]}\n{year}" if named_year else _MONTHS[int(number) - 1])
    return names
