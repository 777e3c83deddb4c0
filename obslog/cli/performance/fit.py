"""The joint fit of a mount's nights, for people and for scripts."""

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson, At
from obslog.cli.terminal.residual_chart import residual_chart
from obslog.cli.terminal.state import State, state_of
from obslog.errors import quoted

if TYPE_CHECKING:
    from obslog.club.performance.mount_fit import MountFit, Term
    from obslog.records.opening import Database

KEYS = ("mount", "tube", "noise_arcmin", "mechanical", "setups")

LIKELY_READINGS = 2
"""Of the slips that would explain a doubtful arrival, so many are told, the nearest first."""


def add_to(app: typer.Typer) -> None:
    app.command("fit")(fit)


def fit(
    context: typer.Context,
    mount: Annotated[str, typer.Argument(help="The mount.", show_default=False)],
    tube: Annotated[
        str | None, typer.Option("--tube", "-t", help="The tube.", show_default="the most used")
    ] = None,
    rings: Annotated[
        float | None,
        typer.Option("--ring-spacing-mm", min=1, help="Between the tube rings, for the shim's thickness."),
    ] = None,
    site: Annotated[
        str | None,
        typer.Option("--site", "-s", help="Say which two stars there would settle what cannot be said."),
    ] = None,
    at: At = None,
    most: Annotated[int, typer.Option("--most", min=1, help="How many set-ups to list, the newest.")] = 12,
    picture: Annotated[
        bool, typer.Option("--picture", help="Draw what the fit leaves, around the sky.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """What belongs to the mount, and what belonged to each night.

    One fit over all nights: cone error, squareness and sag of the mount and tube; the polar axis of each set-up.

    obslog pointing fit Heron --tube 'Long tube'
    """
    from obslog.club.performance.mount_fit import fit_mount

    state = state_of(context)
    with state.database() as database:
        found = fit_mount(database, mount, tube, ring_spacing_mm=rings)
        if site is not None:
            settling = _settling(state, database, found, site, at)
            found = replace(found, words=[*found.words, *([settling] if settling else [])])
    if as_json:
        state.screen.json(
            {key: getattr(found, key) for key in KEYS} | {"words": found.words, "left_out": found.left_out}
        )
    else:
        _show(state, found, most)
        if picture:
            _show_picture(state, found)


def _settling(state: State, database: "Database", found: "MountFit", site: str, at: str | None) -> str | None:
    from obslog.club.aligning.undetermined_terms import settling_words
    from obslog.club.register.observing_site import instant_at, observing_site
    from obslog.pointing.planning.observable import Limits

    view = observing_site(database, site)
    instant = instant_at(view, at, state.now(), planning=True)
    return settling_words(database, found.mount, found.tube, view, instant, Limits())


def _show(state: State, found: "MountFit", most: int) -> None:
    screen = state.screen
    screen.line(f"{found.mount} with {found.tube or 'no tube named'}", style="bold")
    for words in found.words:
        screen.line(f"  {words}")
    screen.line()
    screen.table(
        ["night", "set-up", "altitude '", "azimuth '", "from pole '", "arrivals", "rms '", "doubtful"],
        [
            [
                s.night, s.setup, _term(s.polar_altitude), _term(s.polar_azimuth), f"{s.separation_arcmin:.0f}",
                s.arrivals, "" if s.rms_arcmin is None else f"{s.rms_arcmin:.1f}", len(s.suspects) or "",
            ]
            for s in found.setups[-most:]
        ],
    )  # fmt: skip
    if len(found.setups) > most:
        screen.note(
            f"The newest {most} of {len(found.setups)} set-ups; more with --most {len(found.setups)}."
        )
    shown = {s.night for s in found.setups[-most:]}
    suspects = [suspect for suspect in found.suspects if suspect.night in shown]
    for suspect in suspects:
        readings = [*suspect.readings[:-1][:LIKELY_READINGS], suspect.readings[-1]]
        screen.line(
            f"{suspect.night}, {suspect.target} ({_label(suspect.label)}): {suspect.probability:.0%} wrong; "
            f"it would fit {', or '.join(readings)}"
        )
    if suspects:
        mount, night = quoted(found.mount), suspects[-1].night
        screen.note(
            f"See what stands there: obslog setup show {mount} --night {night}; put it right: obslog edit NUMBER "
            f"--mount {mount} --night {night}"
        )
    screen.note(
        "Polar axis: + too high, + too far east. In brackets: not determined, the usual size is all that is known."
    )
    if found.left_out:
        names = ", ".join(f"{name} ({count})" for name, count in found.left_out.items())
        screen.note(f"Left out, for their places are not known: {names}")


def _show_picture(state: State, found: "MountFit") -> None:
    state.screen.line()
    for line in residual_chart(found.residuals):
        state.screen.line(line)
    state.screen.note(
        "What the fit leaves: arrow and arcminutes, up is north on the sky, left is east; zenith in the middle."
    )


def _term(term: "Term") -> str:
    text = f"{term.value_arcmin:+.0f} ± {term.sd_arcmin:.0f}"
    return text if term.determined else f"({text})"


def _label(label: int | str) -> str:
    return f"line {label}" if isinstance(label, int) else f"arrival {label[-6:]}"
