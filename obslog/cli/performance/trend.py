"""Landing errors over the months: of one mount, of several, and whose they are."""

from math import exp
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.performance.axes_over_time import mechanics_document, show_mechanics, slope_document
from obslog.cli.terminal.interval_bars import Bars
from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.performance.error_sources import Whose
    from obslog.club.performance.landing_history import MountHistory, Serviced


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
        state.screen.json(_as_document(history) | (mechanics_document(over_time) if over_time else {}))
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
        state.screen.json([_as_document(history) for history in histories])
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
        state.screen.json(found)
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
    ends = [(s.low_arcmin, s.half_land_within_arcmin, s.high_arcmin) for s in newest]
    bars = Bars.over([value for row in ends for value in row])
    screen.table(
        ["night", "set-up", "count", "half '", "from '", "to '", "rms '", "med. '", bars.scale("'")],
        [
            [
                s.night,
                s.setup,
                s.arrivals,
                *(_arcmin(value) for value in (s.half_land_within_arcmin, s.low_arcmin, s.high_arcmin)),
                _arcmin(s.rms_arcmin),
                _arcmin(s.median_arcmin),
                bars.bar(*row),
            ]
            for s, row in zip(newest, ends, strict=True)
        ],
    )
    if len(history.setups) > most:
        screen.note(
            f"The newest {most} of {len(history.setups)} set-ups; more with --most {len(history.setups)}."
        )
    screen.note(
        "Arrivals after the last sync: half of them land within the radius given, 95 % sure between from and to."
    )


def _as_document(history: "MountHistory") -> dict[str, Any]:
    return {
        "mount": history.mount,
        "setups": history.setups,
        "slope": slope_document(history.slope),
        "alarms": [alarm.night for alarm in history.alarms],
        "alarm_details": history.alarms,
        "verdict": history.verdict,
        "reasons": history.reasons,
        "services": history.services,
    }


def _service_words(service: "Serviced") -> str:
    if service.factor is None or service.helped is None:
        return f"mechanical service on {service.day}: too few set-ups on either side to say what it did"
    f = service.factor
    return (
        f"mechanical service on {service.day}: landing error x {f.value:.2f} after it (95 %: {f.low or 0:.2f} to "
        f"{f.high or 0:.2f}); that it helped is {service.helped:.0%} likely"
    )


def _show_whose(state: State, found: "Whose", most: int) -> None:
    screen = state.screen
    screen.line(f"Landing errors of {found.setups} set-ups", style="bold")
    screen.table(
        ["source", "share", "±", ""],
        [
            [
                source,
                f"{part.share:.0%}",
                "" if part.sd is None else f"{part.sd:.0%}",
                "" if part.determined else "not to be seen in these data",
            ]
            for source, part in found.attribution.items()
        ],
    )
    screen.line()
    shown = found.effects[:most]
    bars = Bars.over([value for e in shown for value in (e.low, e.ratio, e.high)])
    screen.table(
        ["kind", "name", "times", "from", "to", "worse", "set-ups", bars.scale("x")],
        [
            [
                e.kind,
                e.name,
                f"{e.ratio:.2f}",
                f"{e.low:.2f}",
                f"{e.high:.2f}",
                f"{e.worse:.0%}",
                e.setups,
                bars.bar(e.low, e.ratio, e.high),
            ]
            for e in shown
        ],
    )
    for words in found.cannot_tell:
        screen.line(words)
    screen.note(
        "Times: what this one does to the landing error, the others being equal; worse: how sure that it is more."
    )


def _arcmin(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def _newest(history: "MountHistory") -> float | None:
    return next((s.half_land_within_arcmin for s in history.setups[::-1] if s.half_land_within_arcmin), None)


def _growth(history: "MountHistory") -> list[str]:
    """What the slope does to the landing error in a year, and the ends of that; too few nights tell no slope."""
    slope = history.slope
    if slope is None or history.verdict == "too few nights":
        return ["", "", ""]
    return [f"x {exp(value):.2f}" for value in (slope.per_year, slope.low, slope.high)]
