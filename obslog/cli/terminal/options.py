"""Arguments and options that several commands share, so that each has one name and one help text."""

from datetime import date
from enum import StrEnum
from typing import Annotated, Any

import typer

from obslog.times import read_date


def day(*names: str, help: str, show_default: str | bool = False) -> Any:
    """A date as an option: `Annotated[date | None, day("--on", help="The day.")]` hands in a date."""
    return typer.Option(*names, help=help, show_default=show_default, parser=read_date, metavar="DATE")


AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Name = Annotated[str, typer.Argument(help="The name; capitals do not matter.", show_default=False)]
At = Annotated[
    str | None,
    typer.Option(
        "--at", help='When: 21:40 local, 20:40Z universal, or "2026-03-02 21:40".', show_default="now"
    ),
]
_PLANNED = (
    'When: 21:40 (from 6:00 on: this evening), 20:40Z, "2026-03-02 21:40", or a date: nine that evening.'
)
PlannedAt = Annotated[
    str | None,
    typer.Option(
        "--at",
        help=_PLANNED,
        show_default="now, from 6:00 to noon nine this evening",
    ),
]
MomentAt = Annotated[
    str | None,
    typer.Option(
        "--at",
        help=_PLANNED,
        show_default="now",
    ),
]
NewTime = Annotated[
    str | None,
    typer.Option(
        "--at", help='When: 21:40 local, 20:40Z universal, or "2026-03-02 21:40".', show_default="as it was"
    ),
]
MountOption = Annotated[
    str | None, typer.Option("--mount", "-m", help="The mount, where several are set up.")
]
SiteOption = Annotated[str | None, typer.Option("--site", "-s", help="The site.")]
NightOption = Annotated[
    date | None, day("--night", help="The night, by the date of its evening: 2026-03-02.")
]
SetupOption = Annotated[int | None, typer.Option("--setup", help="Which set-up of that mount in that night.")]
Note = Annotated[str | None, typer.Option("--note", "-n", help="Free text.")]
WithRetired = Annotated[bool, typer.Option("--all", help="Also those that are retired.")]
Officer = Annotated[bool, typer.Option("--officer", help="For the officer: with names and contacts.")]
Sure = Annotated[bool, typer.Option("--sure", help="Accept a longitude that does not fit the time zone.")]


On = Annotated[date | None, day("--on", help="The day.", show_default="today")]
Rename = Annotated[str | None, typer.Option("--rename", help="A new name.")]


class Kind(StrEnum):
    MOUNT = "mount"
    TUBE = "tube"
    EYEPIECE = "eyepiece"
    ITEM = "item"
    KIT = "kit"


KindOption = Annotated[
    Kind | None, typer.Option("--kind", help="The kind of item, if the name is ambiguous.")
]
