"""Mounts, tubes, eyepieces and other items."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.register.named_records import Record, given, named_group, show_record
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Name, Note, Rename
from obslog.vocabulary import Controller, MountType

if TYPE_CHECKING:
    from obslog.records.opening import Database

mount_app = named_group("mount", "The mounts on record.", ("name", "mount_type", "controller", "refraction"))
tube_app = named_group("tube", "The telescope tubes on record.", ("name", "aperture_mm", "focal_mm"))
eyepiece_app = named_group(
    "eyepiece", "The eyepieces on record.", ("name", "focal_mm", "field_deg", "field_stop_mm")
)
item_app = named_group("item", "Other items: finders, filters, batteries...", ("name", "sort", "note"))

_TYPE = typer.Option("--type", help="How it is built.")
_CONTROLLER = typer.Option(
    "--controller", help="What a second sync does: shift the zero points, or feed a model."
)
_APERTURE = typer.Option("--aperture-mm", help="Free aperture, mm.")
_FOCAL = typer.Option("--focal-mm", help="Focal length, mm.")
_FIELD = typer.Option("--field-deg", help="Apparent field, degrees.")
FieldStop = Annotated[float | None, typer.Option("--field-stop-mm", help="Diameter of the field stop, mm.")]
Category = Annotated[
    str | None, typer.Option("--category", help="What it is: finder, filter, battery, case...")
]
Refraction = Annotated[
    bool | None,
    typer.Option(
        "--refraction/--no-refraction", help="The controller corrects refraction.", show_default=False
    ),
]


@command(mount_app, "add", show=show_record)
def add_mount(
    database: "Database",
    now: datetime,
    name: Name,
    mount_type: Annotated[MountType, _TYPE],
    controller: Annotated[Controller, _CONTROLLER],
    refraction: Refraction = None,
    note: Note = None,
) -> Record:
    """Put a mount on record.

    obslog mount add Heron --type german --controller shift
    """
    from obslog.club.register.named_records import add

    values = given(
        {"mount_type": mount_type, "controller": controller, "refraction": refraction, "note": note}
    )
    return add(database, "mount", name, values, now)


@command(mount_app, "edit", show=show_record)
def edit_mount(
    database: "Database",
    now: datetime,
    name: Name,
    mount_type: Annotated[MountType | None, _TYPE] = None,
    controller: Annotated[Controller | None, _CONTROLLER] = None,
    refraction: Refraction = None,
    rename: Rename = None,
    note: Note = None,
) -> Record:
    """Change what is on record of a mount."""
    from obslog.club.register.named_records import edit

    values = given(
        {"mount_type": mount_type, "controller": controller, "refraction": refraction, "note": note}
    )
    return edit(database, "mount", name, values, now, rename=rename)


@command(tube_app, "add", show=show_record)
def add_tube(
    database: "Database",
    now: datetime,
    name: Name,
    aperture_mm: Annotated[float, _APERTURE],
    focal_mm: Annotated[float, _FOCAL],
    note: Note = None,
) -> Record:
    """Put a tube on record.

    obslog tube add "Long tube" --aperture-mm 212 --focal-mm 1000
    """
    from obslog.club.register.named_records import add

    return add(
        database, "tube", name, given({"aperture_mm": aperture_mm, "focal_mm": focal_mm, "note": note}), now
    )


@command(tube_app, "edit", show=show_record)
def edit_tube(
    database: "Database",
    now: datetime,
    name: Name,
    aperture_mm: Annotated[float | None, _APERTURE] = None,
    focal_mm: Annotated[float | None, _FOCAL] = None,
    rename: Rename = None,
    note: Note = None,
) -> Record:
    """Change what is on record of a tube."""
    from obslog.club.register.named_records import edit

    values = given({"aperture_mm": aperture_mm, "focal_mm": focal_mm, "note": note})
    return edit(database, "tube", name, values, now, rename=rename)


@command(eyepiece_app, "add", show=show_record)
def add_eyepiece(
    database: "Database",
    now: datetime,
    name: Name,
    focal_mm: Annotated[float, _FOCAL],
    field_deg: Annotated[float, _FIELD],
    field_stop_mm: FieldStop = None,
    note: Note = None,
) -> Record:
    """Put an eyepiece on record.

    obslog eyepiece add "Wide 25" --focal-mm 25 --field-deg 53 --field-stop-mm 21.6
    """
    from obslog.club.register.named_records import add

    values = given(
        {"focal_mm": focal_mm, "field_deg": field_deg, "field_stop_mm": field_stop_mm, "note": note}
    )
    return add(database, "eyepiece", name, values, now)


@command(eyepiece_app, "edit", show=show_record)
def edit_eyepiece(
    database: "Database",
    now: datetime,
    name: Name,
    focal_mm: Annotated[float | None, _FOCAL] = None,
    field_deg: Annotated[float | None, _FIELD] = None,
    field_stop_mm: FieldStop = None,
    rename: Rename = None,
    note: Note = None,
) -> Record:
    """Change what is on record of an eyepiece."""
    from obslog.club.register.named_records import edit

    values = given(
        {"focal_mm": focal_mm, "field_deg": field_deg, "field_stop_mm": field_stop_mm, "note": note}
    )
    return edit(database, "eyepiece", name, values, now, rename=rename)


@command(item_app, "add", show=show_record)
def add_item(
    database: "Database", now: datetime, name: Name, category: Category = None, note: Note = None
) -> Record:
    """Put any other item on record.

    obslog item add "Battery 3" --category battery
    """
    from obslog.club.register.named_records import add

    return add(database, "item", name, given({"sort": category, "note": note}), now)


@command(item_app, "edit", show=show_record)
def edit_item(
    database: "Database",
    now: datetime,
    name: Name,
    category: Category = None,
    rename: Rename = None,
    note: Note = None,
) -> Record:
    """Change what is on record of an item."""
    from obslog.club.register.named_records import edit

    return edit(database, "item", name, given({"sort": category, "note": note}), now, rename=rename)
