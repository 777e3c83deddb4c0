"""The joint fit of a mount's nights, for people and for scripts."""

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.performance.documents import fit_document
from obslog.cli.performance.residual_chart import EXPLAINED, residual_chart, residuals_in_words
from obslog.cli.site_and_time import PlannedThere
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import MostSetups, Mount, PlannedAt, TubeUsed
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import quoted
from obslog.estimate_words import chance_words, estimate_words
from obslog.vocabulary.mounts import MountType

if TYPE_CHECKING:
    from uuid import UUID

    from obslog.club.performance.mount_fit import MountFit, SuspectWords
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture
    from obslog.values import Estimate

Rings = Annotated[
    float | None,
    typer.Option("--ring-spacing-mm", min=1, help="Between the tube rings, for the shim's thickness."),
]
Site = Annotated[
    str | None,
    typer.Option("--site", "-s", help="Say which two stars there would settle what is not determined yet."),
]
Chart = Annotated[bool, typer.Option("--chart", help="Show what the fit leaves as arrows, around the sky.")]

LIKELY_READINGS = 2
"""Of the slips that would explain a doubtful arrival, so many are told, the nearest first."""

_AXIS_OF = {
    False: (("altitude", "azimuth", "from pole"), "Polar axis in arcminutes: + too high, + too far east"),
    True: (
        ("leans north", "leans east", "from level"),
        "Base in arcminutes: + leaning north, + leaning east",
    ),
}


def add_to(app: typer.Typer) -> None:
    """Put the command among those of pointing."""
    command(app, "fit", show=show_fit, document=fit_document, picture=_residuals_picture)(fit)


def fit(
    database: "Database",
    state: State,
    mount: Mount,
    tube: TubeUsed = None,
    rings: Rings = None,
    site: Site = None,
    at: PlannedAt = None,
    most: MostSetups = 12,
    chart: Chart = False,
) -> "MountFit":
    """Tell the mount's own errors from those of each night.

    One fit over all nights: cone error, squareness and sag of the mount and tube; the polar axis of each set-up.

    obslog pointing fit Heron --tube "Long tube"
    """
    from obslog.club.performance.mount_fit import fit_mount

    found = fit_mount(database, mount, tube, ring_spacing_mm=rings)
    settling = None if site is None else _settling(database, found, site, at, state)
    return replace(found, words=[*found.words, settling]) if settling else found


def _settling(database: "Database", found: "MountFit", site: str, at: str | None, state: State) -> str | None:
    from obslog.club.aligning.star_candidates import usual_limits
    from obslog.club.aligning.undetermined_terms import settling_words

    view, instant = PlannedThere(site=site, at=at).seen(database, state)
    return settling_words(database, found.mount, found.tube, view, instant, usual_limits(view))


def show_fit(screen: Screen, found: "MountFit", most: int, chart: bool) -> None:
    screen.line(found.sentence, style="bold")
    screen.line(f"{found.mount} with {found.tube or 'no tube named'}")
    for words in found.words:
        screen.line(words, indent=2)
    screen.line()
    newest = found.setups[-most:]
    axis, signs = _AXIS_OF[found.mount_type is MountType.ALTAZ]
    screen.table(
        ["night", "set-up", *axis, "arrivals", "rms", "doubtful"],
        [
            [
                s.setup.night, s.setup.setup, _cell(s.polar_altitude_arcmin), _cell(s.polar_azimuth_arcmin),
                _cell(s.separation_arcmin, signed=False), s.arrivals,
                "" if s.rms_arcmin is None else f"{s.rms_arcmin:.1f}", len(s.suspects) or "",
            ]
            for s in newest
        ],
    )  # fmt: skip
    if len(found.setups) > most:
        screen.note(
            f"The newest {most} of {len(found.setups)} set-ups; more with --most {len(found.setups)}."
        )
    _show_suspects(screen, found, {s.setup.key for s in newest})
    screen.note(f"{signs}; empty where the arrivals do not determine it. rms: what the fit leaves, per axis.")
    if found.left_out:
        names = ", ".join(f"{name} ({count})" for name, count in found.left_out.items())
        screen.note(f"Left out, for their places are not known: {names}")
    if chart:
        _show_chart(screen, found)


def _residuals_picture(found: "MountFit") -> "Picture":
    from obslog.report.pictures.residual_sky import residuals_picture

    return residuals_picture(found)


def _show_suspects(screen: Screen, found: "MountFit", shown: "set[UUID]") -> None:
    suspects = [suspect for suspect in found.suspects if suspect.setup.key in shown]
    for suspect in suspects:
        readings = [*suspect.readings[:-1][:LIKELY_READINGS], suspect.readings[-1]]
        what = ", what was centred" if suspect.at_centring else ""
        screen.line(
            f"{suspect.setup.night}, {suspect.target} ({_which(suspect)}){what}: "
            f"{chance_words(suspect.probability)} likely wrong; it would fit {', or '.join(readings)}"
        )
    if suspects:
        mount, last = quoted(found.mount), suspects[-1].setup
        there = f"--night {last.night} --setup {last.setup}"
        others = len({suspect.setup.key for suspect in suspects} - {last.key})
        screen.note(
            f"See what stands there: obslog setup show {mount} {there}; correct it: obslog edit NUMBER --mount "
            f"{mount} {there}"
        )
        if others:
            screen.note(
                f"So too in {counted(others, 'other set-up')}, each by its own night and number above."
            )


def _show_chart(screen: Screen, found: "MountFit") -> None:
    screen.line()
    if not screen.draws:
        for line in residuals_in_words(found.residuals):
            screen.line(line)
        return
    for line in residual_chart(found.residuals, screen.width):
        screen.line(line)
    screen.note(EXPLAINED)


def _cell(estimate: "Estimate", *, signed: bool = True) -> str:
    """An estimate in a table, where what is not determined leaves its place empty."""
    return estimate_words(estimate, signed=signed) if estimate.determined else ""


def _which(suspect: "SuspectWords") -> str:
    line = f", line {suspect.label} of its sheet" if isinstance(suspect.label, int) else ""
    return f"number {suspect.number} of set-up {suspect.setup.setup}{line}"
