"""Mounts, tubes, eyepieces and other items."""

import typer

from obslog.cli.register.details import Detail, add_and_edit
from obslog.cli.register.named_records import named_group
from obslog.vocabulary.mounts import Controller, MountType

mount_app = named_group("mount", "The mounts on record.", ("name", "mount_type", "controller", "refraction"))
tube_app = named_group("tube", "The telescope tubes on record.", ("name", "aperture_mm", "focal_mm"))
eyepiece_app = named_group(
    "eyepiece", "The eyepieces on record.", ("name", "focal_mm", "field_deg", "field_stop_mm")
)
item_app = named_group("item", "Other items: finders, filters, batteries, cases.", ("name", "sort", "note"))

_TYPE = typer.Option("--type", help="How it is built.")
_CONTROLLER = typer.Option(
    "--controller",
    help="What a second sync does: shift the zero points, or feed a model. none: it goes to nothing.",
)
_REFRACTION = typer.Option(
    "--refraction/--no-refraction", help="The controller corrects refraction.", show_default=False
)
_APERTURE = typer.Option("--aperture-mm", help="Free aperture, mm.")
_FOCAL = Detail("focal_mm", float, typer.Option("--focal-mm", help="Focal length, mm."), needed=True)
_FIELD = typer.Option("--field-deg", help="Apparent field, degrees.")
_FIELD_STOP = typer.Option("--field-stop-mm", help="Diameter of the field stop, mm.")
_CATEGORY = typer.Option("--category", help="What it is: finder, filter, battery, case...")

add_and_edit(
    mount_app,
    "mount",
    [
        Detail("mount_type", MountType, _TYPE, needed=True),
        Detail("controller", Controller, _CONTROLLER, needed=True),
        Detail("refraction", bool, _REFRACTION),
    ],
    example="obslog mount add Heron --type german --controller shift",
)
add_and_edit(
    tube_app,
    "tube",
    [Detail("aperture_mm", float, _APERTURE, needed=True), _FOCAL],
    example='obslog tube add "Long tube" --aperture-mm 212 --focal-mm 1000',
)
add_and_edit(
    eyepiece_app,
    "eyepiece",
    [_FOCAL, Detail("field_deg", float, _FIELD, needed=True), Detail("field_stop_mm", float, _FIELD_STOP)],
    example='obslog eyepiece add "Wide 25" --focal-mm 25 --field-deg 53 --field-stop-mm 21.6',
)
add_and_edit(
    item_app,
    "item",
    [Detail("sort", str, _CATEGORY)],
    example='obslog item add "Battery 3" --category battery',
    added="any other item",
)
