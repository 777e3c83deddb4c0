"""Mounts, tubes, eyepieces and other items."""

from typing import Annotated

import typer

from obslog.cli.register.named_records import add_thing, edit_thing, named_group
from obslog.cli.terminal.options import AsJson, Name, Note
from obslog.vocabulary import Controller, MountType

mount_app = named_group("mount", "Mounts.", ("name", "mount_type", "controller", "refraction"))
tube_app = named_group("tube", "Telescope tubes.", ("name", "aperture_mm", "focal_mm"))
eyepiece_app = named_group("eyepiece", "Eyepieces.", ("name", "focal_mm", "field_deg", "field_stop_mm"))
item_app = named_group("item", "Finders, filters, batteries, cases, accessories.", ("name", "sort", "note"))

Rename = Annotated[str | None, typer.Option("--rename", help="A new name.")]
Aperture = Annotated[float | None, typer.Option("--aperture-mm", help="Free aperture, mm.")]
Focal = Annotated[float | None, typer.Option("--focal-mm", help="Focal length, mm.")]
Field = Annotated[float | None, typer.Option("--field-deg", help="Apparent field, degrees.")]
FieldStop = Annotated[float | None, typer.Option("--field-stop-mm", help="Diameter of the field stop, mm.")]
Sort = Annotated[str | None, typer.Option("--sort", help="What it is: finder, filter, battery, case...")]
Refraction = Annotated[
    bool | None,
    typer.Option(
        "--refraction/--no-refraction", help="The controller corrects refraction.", show_default=False
    ),
]
MountKind = Annotated[MountType | None, typer.Option("--type", help="How it is built.")]
ControllerKind = Annotated[
    Controller | None,
    typer.Option("--controller", help="What a second sync does: shift the zero points, or feed a model."),
]


@mount_app.command("add")
def add_mount(
    context: typer.Context,
    name: Name,
    mount_type: Annotated[MountType, typer.Option("--type", help="How it is built.")],
    controller: Annotated[
        Controller,
        typer.Option("--controller", help="What a second sync does: shift the zero points, or feed a model."),
    ],
    refraction: Refraction = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Put a mount on record: obslog mount add Heron --type german --controller shift"""
    values = {"mount_type": mount_type, "controller": controller, "refraction": refraction, "note": note}
    add_thing(context, "mount", name, values, as_json)


@mount_app.command("edit")
def edit_mount(
    context: typer.Context,
    name: Name,
    mount_type: MountKind = None,
    controller: ControllerKind = None,
    refraction: Refraction = None,
    rename: Rename = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Change what is on record of a mount."""
    values = {"mount_type": mount_type, "controller": controller, "refraction": refraction, "note": note}
    edit_thing(context, "mount", name, values, rename, as_json)


@tube_app.command("add")
def add_tube(
    context: typer.Context,
    name: Name,
    aperture_mm: Annotated[float, typer.Option("--aperture-mm", help="Free aperture, mm.")],
    focal_mm: Annotated[float, typer.Option("--focal-mm", help="Focal length, mm.")],
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Put a tube on record: obslog tube add 'Long tube' --aperture-mm 200 --focal-mm 1000"""
    add_thing(
        context, "tube", name, {"aperture_mm": aperture_mm, "focal_mm": focal_mm, "note": note}, as_json
    )


@tube_app.command("edit")
def edit_tube(
    context: typer.Context,
    name: Name,
    aperture_mm: Aperture = None,
    focal_mm: Focal = None,
    rename: Rename = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Change what is on record of a tube."""
    values = {"aperture_mm": aperture_mm, "focal_mm": focal_mm, "note": note}
    edit_thing(context, "tube", name, values, rename, as_json)


@eyepiece_app.command("add")
def add_eyepiece(
    context: typer.Context,
    name: Name,
    focal_mm: Annotated[float, typer.Option("--focal-mm", help="Focal length, mm.")],
    field_deg: Annotated[float, typer.Option("--field-deg", help="Apparent field, degrees.")],
    field_stop_mm: FieldStop = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Put an eyepiece on record: obslog eyepiece add 'Wide 25' --focal-mm 25 --field-deg 52 --field-stop-mm 21.2"""
    values = {"focal_mm": focal_mm, "field_deg": field_deg, "field_stop_mm": field_stop_mm, "note": note}
    add_thing(context, "eyepiece", name, values, as_json)


@eyepiece_app.command("edit")
def edit_eyepiece(
    context: typer.Context,
    name: Name,
    focal_mm: Focal = None,
    field_deg: Field = None,
    field_stop_mm: FieldStop = None,
    rename: Rename = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Change what is on record of an eyepiece."""
    values = {"focal_mm": focal_mm, "field_deg": field_deg, "field_stop_mm": field_stop_mm, "note": note}
    edit_thing(context, "eyepiece", name, values, rename, as_json)


@item_app.command("add")
def add_item(
    context: typer.Context, name: Name, sort: Sort = None, note: Note = None, as_json: AsJson = False
) -> None:
    """Put any other thing on record: obslog item add 'Battery 3' --sort battery"""
    add_thing(context, "item", name, {"sort": sort, "note": note}, as_json)


@item_app.command("edit")
def edit_item(
    context: typer.Context,
    name: Name,
    sort: Sort = None,
    rename: Rename = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Change what is on record of an item."""
    edit_thing(context, "item", name, {"sort": sort, "note": note}, rename, as_json)
