"""What a tube shows with an eyepiece."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.errors import quoted

if TYPE_CHECKING:
    from obslog.club.targets.eyepiece_views import DriftedField
    from obslog.optics import LimitFormula, View
    from obslog.records.database import Database

Tube = Annotated[str, typer.Argument(help="The tube.", show_default=False)]
Eyepiece = Annotated[str, typer.Argument(help="The eyepiece.", show_default=False)]
Barlow = Annotated[float, typer.Option("--barlow", help="The factor of a Barlow lens.")]
Drift = Annotated[
    float | None,
    typer.Option("--drift", help="Seconds a star took across the field's middle, the drive off."),
]
Dec = Annotated[float, typer.Option("--dec", help="The declination of that star, degrees.")]


@dataclass(frozen=True, slots=True)
class Optics:
    """What a tube shows with an eyepiece, and the field that was measured by drift."""

    tube: str
    eyepiece: str
    view: "View"
    by_drift: "DriftedField | None"


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "optics", show=show_optics)(optics)


def optics(
    database: "Database",
    tube: Tube,
    eyepiece: Eyepiece,
    barlow: Barlow = 1.0,
    drift: Drift = None,
    dec: Dec = 0.0,
) -> Optics:
    """Say what a tube shows with an eyepiece.

    Magnification, true field, exit pupil and limits.

    obslog optics "Long tube" "Wide 25"
    """
    from obslog.club.targets.eyepiece_views import field_by_drift, view_with

    names, view = view_with(database, tube, eyepiece, barlow=barlow)
    drifted = None if drift is None else field_by_drift(database, tube, drift, dec, barlow=barlow)
    return Optics(names[0], names[1], view, drifted)


def show_optics(screen: Screen, found: Optics) -> None:
    view, drifted = found.view, found.by_drift
    field = "unknown: give the eyepiece its apparent field or field stop"
    if view.true_field_deg is not None:
        field = (
            f"{view.true_field_deg * 60:.1f}' ({view.true_field_deg:.2f}°), from the {view.true_field_from}"
        )
    screen.line(f"{found.tube} with {found.eyepiece}", style="bold")
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
            ("faintest star", [_faintest(one.rule, one.magnitude) for one in view.limiting_magnitude]),
        ]
    )
    for warning in view.warnings:
        screen.line(warning)
    if drifted is not None:
        stop = f"{drifted.field_stop_mm:.1f}"
        screen.line(
            f"by drift: true field {drifted.true_field_arcmin:.1f}', a field stop of {stop} mm; "
            f"to keep it: obslog eyepiece edit {quoted(found.eyepiece)} --field-stop-mm {stop}"
        )


def _faintest(rule: "LimitFormula", magnitude: float) -> str:
    """A limit with its rule of thumb and what that is for; skies and eyes change both by more than they differ."""
    from obslog.optics import LimitFormula

    whose = {
        LimitFormula.INCHES: "for an eye that sees 6.5 mag by itself",
        LimitFormula.MILLIMETRES: "as targets takes it",
    }
    return f"{magnitude:.1f}, {whose[rule]} ({rule})"
