"""Landing errors over the months: of one mount, of several, and whose they are."""

from math import isnan
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.performance.axes_over_time import show_mechanics
from obslog.cli.performance.documents import Document, mechanics_document, sources_document, trend_document
from obslog.cli.terminal.command import command
from obslog.cli.terminal.interval_bars import EXPLAINED, Bars
from obslog.cli.terminal.options import MostSetups, Mount
from obslog.cli.terminal.screen import Screen
from obslog.english import counted, enumerated
from obslog.estimate_words import NOT_DETERMINED, chance_cell, chance_words, ends_words, percent_words

if TYPE_CHECKING:
    from obslog.club.over_time.axes_over_time import MechanicsOverTime
    from obslog.club.over_time.landing_history import MountHistory, Serviced
    from obslog.club.performance.error_sources import ErrorSources
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture
    from obslog.values import Estimate, Interval

MostSources = Annotated[
    int, typer.Option("--most", min=1, help="How many mounts, observers and sites to list.")
]
Mechanics = Annotated[
    bool, typer.Option("--mechanics", help="Also its polar axis, and what services changed.")
]


def add_to(app: typer.Typer) -> None:
    """Put these commands among those of pointing."""
    command(
        app, "trend", show=show_trend_and_mechanics, document=_trend_and_mechanics, picture=_landings_picture
    )(trend)
    command(app, "whose", show=show_sources, document=sources_document, picture=_sources_picture)(whose)


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


def whose(database: "Database", most: MostSources = 12) -> "ErrorSources":
    """Share the landing errors out by their sources.

    The mount's, the observer's, the site's, or the night's.

    obslog pointing whose
    """
    from obslog.club.performance.error_sources import whose_error

    return whose_error(database)


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
    _explain_bars(screen, bars)


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


def show_sources(screen: Screen, found: "ErrorSources", most: int) -> None:
    from obslog.club.performance.first_sentences import sources_sentence

    screen.line(sources_sentence(found.shares, tubes_apart=found.tubes_apart), style="bold")
    screen.line(f"Landing errors of {counted(found.setups, 'set-up')}")
    screen.table(["source", "share"], [[source, _share(part)] for source, part in found.shares.items()])
    screen.line()
    shown = found.effects[:most]
    bars = Bars.over([value for e in shown for value in (e.ratio.low, e.ratio.value, e.ratio.high)])
    screen.table(
        ["whose", "ratio", "from", "to", "worse", "set-ups", bars.scale("x")],
        [
            [
                f"{e.factor} {e.name}",
                *(_ratio(value) for value in (e.ratio.value, e.ratio.low, e.ratio.high)),
                chance_cell(e.worse),
                e.ratio.count,
                bars.bar(e.ratio.low, e.ratio.value, e.ratio.high),
            ]
            for e in shown
        ],
    )
    for words in found.cannot_tell:
        screen.line(words)
    screen.note(
        "Share: of how much the logarithms of landing errors differ from set-up to set-up, ± its standard deviation; "
        "rest: what differs from night to night. "
        "Ratio: landing error beside the club's average, all else being equal, 95 % interval from and to; worse: the "
        "probability that it is above the average."
    )
    _explain_bars(screen, bars)


def _explain_bars(screen: Screen, bars: Bars) -> None:
    if screen.draws and bars.high > 0:
        screen.note(EXPLAINED)


def _sources_picture(found: "ErrorSources", most: int) -> "Picture":
    from obslog.report.pictures.error_shares import sources_picture

    return sources_picture(found, most)


def _share(share: "Estimate") -> str:
    """A share with its uncertainty; one that the data cannot see is zero and has none."""
    if not share.determined or isnan(share.sd):
        return NOT_DETERMINED
    return f"{percent_words(share.value)} ± {percent_words(share.sd)}"


def _ends(half: "Interval | None") -> "tuple[float | None, float | None, float | None]":
    return (half.low, half.value, half.high) if half else (None, None, None)


def _arcmin(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _ratio(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


def _newest(history: "MountHistory") -> float | None:
    return next((s.half_arcmin.value for s in history.setups[::-1] if s.half_arcmin), None)


def _growth(history: "MountHistory") -> list[str]:
    """What the slope multiplies the landing error by in a year, and the ends of that; blank where it is not told."""
    factor = history.yearly_factor
    return [_ratio(value) for value in (factor.value, factor.low, factor.high)] if factor else ["", "", ""]
