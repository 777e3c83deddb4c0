"""What a mount's pointing did over the months."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli import pointing_fit
from obslog.cli.options import AsJson
from obslog.cli.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.history import MountHistory

app = typer.Typer(help="How well mounts point, and whether that changes.", no_args_is_help=True)
pointing_fit.add_to(app)


@app.command("trend")
def trend(
    context: typer.Context,
    mount: Annotated[str, typer.Argument(help="The mount.", show_default=False)],
    most: Annotated[int, typer.Option("--most", min=1, help="How many set-ups to list, the newest.")] = 12,
    as_json: AsJson = False,
) -> None:
    """A mount's landing error, set-up by set-up, and whether it grows.

    obslog pointing trend Heron
    """
    from obslog.club.history import mount_history

    state = state_of(context)
    with state.database() as database:
        history = mount_history(database, mount)
    if as_json:
        slope = history.slope
        state.screen.json(
            {
                "mount": history.mount,
                "setups": history.setups,
                "slope": None
                if slope is None
                else {"per_year": slope.per_year, "low": slope.low, "high": slope.high, "p": slope.p},
                "alarms": history.alarms,
                "verdict": history.verdict,
                "reasons": history.reasons,
                "services": history.services,
            }
        )
    else:
        show_trend(state, history, most)


def show_trend(state: State, history: "MountHistory", most: int) -> None:
    """The trend for people: the verdict first, then its reasons, then the newest set-ups."""
    screen = state.screen
    screen.line(f"{history.mount}: {history.verdict}", style="bold")
    for reason in history.reasons:
        screen.line(f"  {reason}")
    if history.services:
        screen.line(f"  mechanical services: {', '.join(str(day) for day in history.services)}")
    screen.line()
    screen.table(
        ["night", "set-up", "arrivals", "half within '", "from '", "to '", "rms '", "median '"],
        [
            [
                s.night, s.setup, s.arrivals, _arcmin(s.half_land_within_arcmin), _arcmin(s.low_arcmin),
                _arcmin(s.high_arcmin), _arcmin(s.rms_arcmin), _arcmin(s.median_arcmin),
            ]
            for s in history.setups[-most:]
        ],
    )  # fmt: skip
    if len(history.setups) > most:
        screen.note(
            f"The newest {most} of {len(history.setups)} set-ups; more with --most {len(history.setups)}."
        )
    screen.note(
        "Arrivals after the last sync; half of them land within the radius given, 95 % sure between from and to."
    )


def _arcmin(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"
