"""What a tube shows with an eyepiece."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import state_of
from obslog.errors import quoted

if TYPE_CHECKING:
    from obslog.optics import LimitFormula


def add_to(app: typer.Typer) -> None:
    app.command("optics")(optics)


def optics(
    context: typer.Context,
    tube: Annotated[str, typer.Argument(help="The tube.", show_default=False)],
    eyepiece: Annotated[str, typer.Argument(help="The eyepiece.", show_default=False)],
    barlow: Annotated[float, typer.Option("--barlow", help="The factor of a Barlow lens.")] = 1.0,
    drift: Annotated[
        float | None,
        typer.Option("--drift", help="Seconds a star took across the field's middle, the drive off."),
    ] = None,
    dec: Annotated[float, typer.Option("--dec", help="The declination of that star, degrees.")] = 0.0,
    as_json: AsJson = False,
) -> None:
    """What a tube shows with an eyepiece: magnification, true field, exit pupil, limits.

    obslog optics 'Long tube' 'Wide 25'
    """
    from obslog.club.targets.eyepiece_views import field_by_drift, view_with

    state = state_of(context)
    with state.database() as database:
        names, view = view_with(database, tube, eyepiece, barlow=barlow)
        drifted = None if drift is None else field_by_drift(database, tube, drift, dec)
    if as_json:
        state.screen.json({"tube": names[0], "eyepiece": names[1], "view": view, "by_drift": drifted})
        return
    screen = state.screen
    field = "unknown: give the eyepiece its apparent field or field stop"
    if view.true_field_deg is not None:
        field = (
            f"{view.true_field_deg * 60:.1f}' ({view.true_field_deg:.2f}°), from the {view.true_field_from}"
        )
    screen.line(f"{names[0]} with {names[1]}", style="bold")
    screen.fields(
        [
            ("magnification", f"{view.magnification:.0f}x"),
            ("true field", field),
            ("exit pupil", f"{view.exit_pupil_mm:.1f} mm"),
            ("focal ratio", f"f/{view.focal_ratio:.1f}"),
            (
                "double stars",
                f'{view.dawes_limit_arcsec:.2f}" (Dawes), {view.rayleigh_limit_arcsec:.2f}" (Rayleigh)',
            ),
            ("faintest star", [_faintest(rule, mag) for rule, mag in view.limiting_magnitude.items()]),
        ]
    )
    for warning in view.warnings:
        screen.line(warning)
    if drifted is not None:
        screen.line(
            f"by drift: true field {drifted.true_field_arcmin:.1f}', a field stop of {drifted.field_stop_mm:.1f} mm; "
            f"to keep it: obslog eyepiece edit {quoted(names[1])} --field-stop-mm {drifted.field_stop_mm:.1f}"
        )


def _faintest(rule: "LimitFormula", magnitude: float) -> str:
    """A limit with its rule of thumb and what that is for; skies and eyes change both by more than they differ."""
    from obslog.optics import LimitFormula

    whose = {
        LimitFormula.INCHES: "for an eye that sees 6.5 mag by itself",
        LimitFormula.MILLIMETRES: "as targets takes it",
    }
    return f"{magnitude:.1f}, {whose[rule]} ({rule})"
