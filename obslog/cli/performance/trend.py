"""Landing errors over the months: of one mount, and of several."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.performance.axes_over_time import show_mechanics
from obslog.cli.performance.documents import Document, mechanics_document, trend_document
from obslog.cli.terminal.command import command
from obslog.cli.terminal.interval_bars import Bars, explain_bars
from obslog.cli.terminal.options import MostSetups, Mount
from obslog.cli.terminal.screen import Screen
from obslog.english import enumerated
from obslog.estimate_words import (
    chance_words,
    ends_words,
    ratio_cell,
)

if TYPE_CHECKING:
    from obslog.club.over_time.axes_over_time import MechanicsOverTime
    from obslog.club.over_time.landing_history import MountHistory, Serviced
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture
    from obslog.values import Interval

Mechanics = Annotated[
    bool, typer.Option("--mechanics", help="Also its polar axis, and what services changed.")
]


def add_to(app: typer.Typer) -> None:
    """Put the command among those of pointing."""
    command(
        app, "trend", show=show_trend_and_mechanics, document=_trend_and_mechanics, picture=_landings_picture
    )(trend)


def trend(
    database: "Database", mount: Mount, most: MostSetups = 12, mechanics: Mechanics = False
) -> "tuple[MountHistory, MechanicsOverTime | None]":
    """Show a mount's landing error, and whether it grows.

    Set-up by set-up, with a verdict and its reasons.

    obslog pointing trend Heron --mechanics
    """
    from obslog.club.over_time.axes_over_time import mechanics_over_time
    from obslog.club.over_time.landing_history import mount_history

    history = mount_history(database, mount)
    return history, mechanics_over_time(database, mount) if mechanics else None


def show_trend_and_mechanics(
    screen: Screen, found: "tuple[MountHistory, MechanicsOverTime | None]", most: int
) -> None:
    history, over_time = found
    show_trend(screen, history, most)
    if over_time:
        show_mechanics(screen, over_time)


def _landings_picture(found: "tuple[MountHistory, MechanicsOverTime | None]") -> "Picture":
    from obslog.report.pictures.landings import landings_picture

    return landings_picture(found[0])


def _trend_and_mechanics(found: "tuple[MountHistory, MechanicsOverTime | None]") -> Document:
    history, over_time = found
    return trend_document(history) | (mechanics_document(over_time) if over_time else {})


def show_compared(screen: Screen, histories: "list[MountHistory]") -> None:
    screen.table(
        ["mount", "verdict", "set-ups", "newest half '", "a year", "from", "to", "alarms"],
        [
            [h.mount, h.verdict, len(h.setups), _arcmin(_newest(h)), *_growth(h), len(h.alarms)]
            for h in histories
        ],
    )
    for history in histories:
        for reason in (r for r in history.reasons if "looked at together" in r):
            screen.line(f"{history.mount}: {reason}")
    screen.note(
        "Newest half: half of the arrivals land within it, in arcminutes. A year: what the landing error is "
        "multiplied by in a year, 95 % interval from and to; blank where too few nights, or under half a year, tell it."
    )


def show_trend(screen: Screen, history: "MountHistory", most: int) -> None:
    """The trend for people: the verdict in a sentence, then its reasons, then the newest set-ups."""
    screen.line(history.words, style="bold")
    for reason in history.reasons:
        screen.line(reason, indent=2)
    for service in _services_apart(history):
        screen.line(_service_words(service), indent=2)
    screen.line()
    newest = history.setups[-most:]
    ends = [_ends(setup.half_arcmin) for setup in newest]
    bars = Bars.over([value for row in ends for value in row])
    screen.table(
        ["night", "set-up", "arrivals", "half", "from", "to", "rms", "median", bars.scale("'")],
        [
            [
                s.setup.night,
                s.setup.setup,
                s.arrivals,
                *(_arcmin(value) for value in (half, low, high)),
                _arcmin(s.rms_arcmin),
                _arcmin(s.median_arcmin),
                bars.bar(low, half, high),
            ]
            for s, (low, half, high) in zip(newest, ends, strict=True)
        ],
    )
    if len(history.setups) > most:
        screen.note(
            f"The newest {most} of {len(history.setups)} set-ups; more with --most {len(history.setups)}."
        )
    screen.note(
        "In arcminutes, of the arrivals after the last sync: half of them land within half (95 % interval from, to)."
    )
    explain_bars(screen, bars)


def _services_apart(history: "MountHistory") -> "list[Serviced]":
    """The services, but for those that are told of with a later one."""
    together = {day for service in history.services for day in service.with_earlier}
    return [service for service in history.services if service.day not in together]


def _service_words(service: "Serviced") -> str:
    days = enumerated([str(day) for day in (*service.with_earlier, service.day)])
    what = f"mechanical {'services' if service.with_earlier else 'service'} on {days}"
    if service.factor is None or service.helped is None:
        return f"{what}: too few set-ups before or after it to say what it did"
    factor = service.factor
    return (
        f"{what}: as used, the landing error changed by a factor of {factor.value:.2f} ({ends_words(factor)}); "
        f"probability that it fell: {chance_words(service.helped)}"
    )


def _ends(half: "Interval | None") -> "tuple[float | None, float | None, float | None]":
    return (half.low, half.value, half.high) if half else (None, None, None)


def _arcmin(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _newest(history: "MountHistory") -> float | None:
    return next((s.half_arcmin.value for s in history.setups[::-1] if s.half_arcmin), None)


def _growth(history: "MountHistory") -> list[str]:
    """What the slope multiplies the landing error by in a year, and the ends of that; blank where it is not told."""
    factor = history.yearly_factor
    return (
        [ratio_cell(value) for value in (factor.value, factor.low, factor.high)] if factor else ["", "", ""]
    )
