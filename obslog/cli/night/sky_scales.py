"""What the steps of the sky's scales mean, for whoever forgets them in the dark."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.english import capitalised
from obslog.vocabulary.sky_scales import SKY_SCALE_MEANING, SKY_SCALE_RANGE, SkyScale

if TYPE_CHECKING:
    from obslog.sky.evening.sky_quality_scales import Step


Pages = list[dict[str, Any]] | dict[str, Any]


def show_scales(screen: Screen, found: Pages) -> None:
    if isinstance(found, list):
        screen.table(
            ["scale", "meaning", "best"], [[p["scale"], p["meaning"], p["direction"]] for p in found]
        )
        screen.note("The steps of one: obslog scales antoniadi. No scale is ever turned into another.")
    else:
        _show(screen, found)


def add_to(app: typer.Typer) -> None:
    command(app, "scales", show=show_scales)(scales)


def scales(
    name: Annotated[
        str | None, typer.Argument(help="One scale, with all its steps.", show_default="all, a line each")
    ] = None,
) -> Pages:
    """Show the scales of seeing, transparency and darkness.

    The direction of each, and what its steps mean.

    obslog scales antoniadi
    """
    if name is None:
        return [_page(scale) for scale in SkyScale]
    return _page(_scale_named(name))


def _scale_named(text: str) -> SkyScale:
    from obslog.errors import UnknownName

    try:
        return SkyScale("-".join(text.casefold().replace("-", " ").split()))
    except ValueError as error:
        raise UnknownName("scale", text, list(SkyScale), see="See them all: obslog scales") from error


def _page(scale: SkyScale) -> dict[str, Any]:
    """A scale; its steps are none where any number of its range may be given."""
    from obslog.sky.evening.sky_quality_scales import DEFINITIONS, REMARKS, direction_words

    definition = DEFINITIONS.get(scale)
    low, high = SKY_SCALE_RANGE[scale]
    return {
        "scale": scale,
        "meaning": SKY_SCALE_MEANING[scale],
        "from": low,
        "to": high,
        "direction": direction_words(scale),
        "steps": list(definition.steps) if definition else [],
        "source": definition.source if definition else None,
        "remark": REMARKS.get(scale),
    }


def _show(screen: Screen, page: dict[str, Any]) -> None:
    screen.line(f"{page['scale']}: {page['meaning']}", style="bold")
    screen.line(f"{capitalised(page['direction'])}.")
    if page["steps"]:
        screen.line()
        screen.table(["step", "meaning"], [[step.value, _meaning(step)] for step in page["steps"]])
    for text in (page["remark"], page["source"] and f"Source: {page['source']}"):
        if text:
            screen.line()
            screen.line(text)
    screen.note(f'Record it with its scale: obslog night note --sky "{page["scale"]} NUMBER"')


def _meaning(step: "Step") -> str:
    """The meaning, with the faintest stars by eye that go with a class of darkness."""
    if step.naked_eye_faint_mag is None:
        return step.meaning
    bright = "" if step.naked_eye_bright_mag is None else f"{step.naked_eye_bright_mag:g} to "
    return f"{step.meaning} (faintest star by eye {bright}{step.naked_eye_faint_mag:g})"
