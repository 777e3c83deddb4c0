"""Landing errors of a mount over the months, with the services and the alarms."""

from math import isfinite
from typing import TYPE_CHECKING

from obslog.club.over_time.landing_history import MountHistory, SetupHistory
from obslog.estimate_words import arcmin_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.pictures.time_axis import day_number, over_days
from obslog.report.plain_text import label
from obslog.values import Interval
from obslog.vocabulary import counted

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COLUMNS = ("night", "set-up", "arrivals", "half land within", "from", "to")


def landings_picture(history: MountHistory) -> Picture:
    """The radius inside which half of each set-up's go-tos landed, with its 95 % interval, night by night."""
    return Picture(
        name="landings",
        title=f"Where half of {label(history.mount)}'s go-tos landed, set-up by set-up",
        description=_description(history),
        columns=COLUMNS,
        rows=tuple(_row(setup) for setup in history.setups),
        draw=lambda figure, ink: _draw(figure, ink, history),
    )


def _description(history: MountHistory) -> str:
    measured = [s for s in history.setups if s.half_arcmin is not None]
    parts = [f"{counted(len(measured), 'set-up')} with arrivals."]
    if measured:
        first, last = measured[0], measured[-1]
        parts.append(
            f"The first, on {first.setup.night}: {_radius(first)}; the last, on {last.setup.night}: {_radius(last)}."
        )
    parts += [f"Mechanical service on {service.day}." for service in history.services]
    parts += [f"Alarm on {alarm.night}." for alarm in history.alarms]
    return " ".join(parts)


def _radius(setup: SetupHistory) -> str:
    return arcmin_words(setup.half_arcmin.value) if setup.half_arcmin is not None else "not known"


def _row(setup: SetupHistory) -> tuple[str, ...]:
    half = setup.half_arcmin
    ends = (half.value, half.low, half.high) if half is not None else (None, None, None)
    cells = ("" if end is None or not isfinite(end) else f"{end:.1f}'" for end in ends)
    return (str(setup.setup.night), str(setup.setup.setup), str(setup.arrivals), *cells)


def _draw(figure: "Figure", ink: Ink, history: MountHistory) -> None:
    axes = figure.add_subplot()
    points = [(day_number(s.setup.night), s.half_arcmin) for s in history.setups if s.half_arcmin is not None]
    for day, half in points:
        low, high = _ends(half)
        axes.plot([day, day], [low, high], color=ink.shade, linewidth=3, solid_capstyle="butt", zorder=2)
    axes.plot(
        [day for day, _ in points],
        [half.value for _, half in points],
        linestyle="none",
        marker="o",
        markersize=4,
        color=ink.first,
        zorder=3,
    )
    for service in history.services:
        axes.axvline(day_number(service.day), color=ink.third, linewidth=1.2, zorder=1)
    for alarm in history.alarms:
        axes.axvline(day_number(alarm.night), color=ink.warning, linewidth=1.2, linestyle=":", zorder=1)
    over_days(axes, [s.setup.night for s in history.setups])
    axes.set_ylabel("half land within, arcminutes")
    axes.set_ylim(bottom=0)


def _ends(half: Interval) -> tuple[float, float]:
    """The interval's ends; an open one ends at the value, for no line may say more than is known."""
    low = half.value if half.low is None else half.low
    high = half.value if half.high is None else half.high
    return low, high
