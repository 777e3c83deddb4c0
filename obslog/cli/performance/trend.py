"""Landing errors over the months: of one mount, of several, and whose they are."""

from math import isnan
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.performance.axes_over_time import show_mechanics
from obslog.cli.performance.documents import mechanics_document, sources_document, trend_document
from obslog.cli.terminal.interval_bars import Bars
from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import State, state_of
from obslog.estimate_words import NOT_DETERMINED, chance_cell, chance_words, ends_words, percent_words
from obslog.vocabulary import counted

if TYPE_CHECKING:
    from obslog.club.performance.error_sources import ErrorSources
    from obslog.club.performance.landing_history import MountHistory, Serviced
    from obslog.values import Estimate, Interval


def add_to(app: typer.Typer) -> None:
    app.command("trend")(trend)
    app.command("compare")(compare)
    app.command("whose")(whose)


def trend(
    context: typer.Context,
    mount: Annotated[str, typer.Argument(help="The mount.", show_default=False)],
    most: Annotated[int, typer.Option("--most", min=1, help="How many set-ups to list, the newest.")] = 12,
    mechanics: Annotated[
        bool, typer.Option("--mechanics", help="Also its polar axis, and what services changed.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """A mount's landing error, set-up by set-up, and whether it grows.

    obslog pointing trend Heron --mechanics
    """
    from obslog.club.performance.axes_over_time import mechanics_over_time
    from obslog.club.performance.landing_history import mount_history

    state = state_of(context)
    with state.database() as database:
        history = mount_history(database, mount)
        over_time = mechanics_over_time(database, mount) if mechanics else None
    if as_json:
        state.screen.json(trend_document(history) | (mechanics_document(over_time) if over_time else {}))
        return
    show_trend(state, history, most)
    if over_time:
        show_mechanics(state, over_time)


def compare(
    context: typer.Context,
    mounts: Annotated[list[str], typer.Argument(metavar="MOUNT...", help="The mounts.", show_default=False)],
    as_json: AsJson = False,
) -> None:
    """Several mounts side by side, their verdicts allowing for looking at all of them together.

    obslog pointing compare Heron Bittern
    """
    from obslog.club.performance.landing_history import compare_mounts

    state = state_of(context)
    with state.database() as database:
        histories = compare_mounts(database, mounts)
    if as_json:
        state.screen.json([trend_document(history) for history in histories])
        return
    state.screen.table(
        ["mount", "verdict", "set-ups", "newest half '", "a year", "from", "to", "alarms"],
        [
            [h.mount, h.verdict, len(h.setups), _arcmin(_newest(h)), *_growth(h), len(h.alarms)]
            for h in histories
        ],
    )
    for history in histories:
        for reason in (r for r in history.reasons if "looked at together" in r):
            state.screen.line(f"{history.mount}: {reason}")
    state.screen.note(
        "Newest half: half of the arrivals land within it, in arcminutes. A year: what the landing error is "
        "multiplied by in a year, 95 % interval from and to."
    )


def whose(
    context: typer.Context,
    most: Annotated[
        int, typer.Option("--most", min=1, help="How many mounts, observers and sites to list.")
    ] = 12,
    as_json: AsJson = False,
) -> None:
    """Whose error it is: the mount's, the observer's, the site's, or the night's.

    obslog pointing whose
    """
    from obslog.club.performance.error_sources import whose_error

    state = state_of(context)
    with state.database() as database:
        found = whose_error(database)
    if as_json:
        state.screen.json(sources_document(found))
    else:
        _show_whose(state, found, most)


def show_trend(state: State, history: "MountHistory", most: int) -> None:
    """The trend for people: the verdict first, then its reasons, then the newest set-ups."""
    screen = state.screen
    screen.line(f"{history.mount}: {history.verdict}", style="bold")
    for reason in history.reasons:
        screen.line(reason, indent=2)
    for service in history.services:
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


def _service_words(service: "Serviced") -> str:
    what = f"mechanical service on {service.day}"
    if service.factor is None or service.helped is None:
        return f"{what}: too few set-ups before or after it to say what it did"
    factor = service.factor
    return (
        f"{what}: landing error changed by a factor of {factor.value:.2f} ({ends_words(factor)}); "
        f"probability that it helped: {chance_words(service.helped)}"
    )


def _show_whose(state: State, found: "ErrorSources", most: int) -> None:
    screen = state.screen
    screen.line(f"Landing errors of {counted(found.setups, 'set-up')}", style="bold")
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
        "Ratio: landing error beside the club's average, all else being equal, 95 % interval from and to; worse: the "
        "probability that it is above the average."
    )


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
    """What the slope multiplies the landing error by in a year, and the ends of that; too few nights tell no slope."""
    factor = history.yearly_factor
    return [_ratio(value) for value in (factor.value, factor.low, factor.high)] if factor else ["", "", ""]
