"""Arguments and options that several commands share, so that each has one name and one help text."""

from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from obslog.grammar.typed_times import read_day
from obslog.vocabulary.steps import Step


def day(*names: str, help: str, show_default: str | bool = False) -> Any:
    """A date as an option: `Annotated[date | None, day("--on", help="The day.")]` hands in a date.

    Today and yesterday are read too, by the clocks of the site: `command` looks up which date that is.
    """
    return typer.Option(*names, help=help, show_default=show_default, parser=read_day, metavar="DATE")


def _time(words: str, left_out: str) -> Any:
    """A time as an option, and what is taken where it is left out."""
    return typer.Option("--at", help=words, show_default=left_out)


SHIPPED_AND_OWN = f"{', '.join(Step)}, or a step of the club's own"
_WHEN = 'When: 21:40 local, 20:40Z universal, or "2026-03-02 21:40".'
_PLANNED = (
    'When: 21:40 (from 6:00 on: this evening), 20:40Z, "2026-03-02 21:40", or a date: nine that evening.'
)
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
PictureFile = Annotated[
    Path | None, typer.Option("--picture", metavar="FILE", help="Also draw it: FILE.svg, .png or .pdf.")
]
Name = Annotated[str, typer.Argument(help="The name; capitals do not matter.", show_default=False)]
ItemName = Annotated[str, typer.Argument(help="The item; capitals do not matter.", show_default=False)]
At = Annotated[str | None, _time(_WHEN, left_out="now")]
NewTime = Annotated[str | None, _time(_WHEN, left_out="as it was")]
MomentAt = Annotated[str | None, _time(_PLANNED, left_out="now")]
PlannedAt = Annotated[str | None, _time(_PLANNED, left_out="now, from 6:00 to noon nine this evening")]
Mount = Annotated[str, typer.Argument(help="The mount.", show_default=False)]
MountIfSeveral = Annotated[str | None, typer.Argument(help="The mount.", show_default="the only one")]
MountOption = Annotated[
    str | None, typer.Option("--mount", "-m", help="The mount, where several are set up.")
]
Site = Annotated[
    str | None,
    typer.Option("--site", "-s", help="The site.", show_default="the last used"),
]
SiteOption = Annotated[str | None, typer.Option("--site", "-s", help="The site.")]
NightOption = Annotated[date | None, day("--night", help="The night, by its evening: 2026-03-02, yesterday.")]
SetupOption = Annotated[int | None, typer.Option("--setup", help="Which set-up of that mount in that night.")]
TubeUsed = Annotated[
    str | None, typer.Option("--tube", "-t", help="The tube.", show_default="the most used of late")
]
SetUpBy = Annotated[str | None, typer.Option("--member", help="Who sets it up.", show_default="you")]
MostSetups = Annotated[int, typer.Option("--most", min=1, help="How many set-ups to list, the newest.")]
Above = Annotated[float, typer.Option("--above", help="At least this high, degrees.")]
Cost = Annotated[float | None, typer.Option("--cost", help="What it cost, in the club's currency.")]
Yes = Annotated[bool, typer.Option("--yes", help="Do it without asking first.")]
Note = Annotated[str | None, typer.Option("--note", "-n", help="Free text.")]
WithRetired = Annotated[bool, typer.Option("--all", help="Also those that are retired.")]
Officer = Annotated[bool, typer.Option("--officer", help="For the officer: with names and contacts.")]
Sure = Annotated[bool, typer.Option("--sure", help="Accept a longitude that does not fit the time zone.")]
StocktakeDay = Annotated[
    date | None,
    typer.Argument(
        help="A day of the stocktake: on which it ended, began or went on.",
        parser=read_day,
        metavar="DATE",
        show_default="the open one, else the last",
    ),
]
On = Annotated[date | None, day("--on", help="The day.", show_default="today")]
Template = Annotated[
    Path | None, typer.Option("--template", help="The club's own text.", show_default="the one that ships")
]
WriteTemplate = Annotated[
    Path | None,
    typer.Option("--write-template", help="Write the text that ships into a file, to be changed."),
]
Sender = Annotated[
    str | None,
    typer.Option("--from", help="Your own e-mail address.", show_default="left to the mail program"),
]
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
