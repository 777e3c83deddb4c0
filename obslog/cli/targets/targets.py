"""Planning an evening's targets."""

from dataclasses import fields
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from obslog.cli.site_and_time import view_meant
from obslog.cli.targets.sure_shown import (
    best_line,
    judged_line,
    moon_line,
    reason_lines,
)
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Above, PlannedAt, Site
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.club.targets.programmes import WELL_KNOWN_LISTS
from obslog.english import counted
from obslog.estimate_words import chance_interval_words, interval_document
from obslog.sky.names.object_types import SHOWN_WORDS
from obslog.times import computed_local

if TYPE_CHECKING:
    from obslog.club.targets.planned_targets import PlannedTarget, TargetPlan
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(
        app,
        "targets",
        show=show_targets,
        document=lambda planned: _document(planned[0]),
        picture=_evening_picture,
    )(targets)


def targets(
    database: "Database",
    now: datetime,
    state: State,
    site: Site = None,
    at: PlannedAt = None,
    mount: Annotated[
        str | None,
        typer.Option("--mount", "-m", help="The mount: its sides, and the chance that it lands."),
    ] = None,
    tube: Annotated[
        str | None, typer.Option("--tube", help="The tube.", show_default="the club's largest")
    ] = None,
    eyepiece: Annotated[
        str | None, typer.Option("--eyepiece", "-e", help="The eyepiece: its field, with --tube.")
    ] = None,
    listed: Annotated[
        str | None,
        typer.Option(
            "--list",
            help="messier, caldwell, doubles, or a file with one name a line.",
            show_default="all objects, Moon and planets",
        ),
    ] = None,
    kinds: Annotated[
        list[str] | None,
        typer.Option("--type", help=f"One of {', '.join(SHOWN_WORDS)}; may be repeated."),
    ] = None,
    not_seen_by: Annotated[
        str | None, typer.Option("--not-seen-by", help="Leave out what this member has seen.")
    ] = None,
    above: Above = 30.0,
    most: Annotated[int, typer.Option("--most", min=1, max=1000, help="At most this many.")] = 20,
    minutes: Annotated[float, typer.Option("--minutes", help="Minutes for each.")] = 10.0,
) -> "tuple[TargetPlan, ZoneInfo]":
    """Choose what to look at tonight, from west to east.

    Only what the tube shows against this sky and this Moon, and how surely. The order follows the sky westward,
    with few changes of side.

    obslog targets --site "Mill Field" --list messier --tube "Long tube" --not-seen-by Ines
    """
    from obslog.club.register.observing_site import instant_at
    from obslog.club.targets.planned_targets import EyepieceWithoutTube, Wish
    from obslog.club.targets.target_plan import plan_targets

    if eyepiece and not tube:
        raise EyepieceWithoutTube(eyepiece)
    well_known = listed if listed and listed.casefold() in WELL_KNOWN_LISTS else None
    wish = Wish(
        mount=mount,
        tube=tube,
        eyepiece=eyepiece,
        listed=well_known,
        names=names_in(listed) if listed and not well_known else None,
        types=kinds or (),
        not_seen_by=not_seen_by,
        above_deg=above,
        most=most,
        minutes_each=minutes,
        wanderers=listed is None,
    )
    view = view_meant(database, site, state)
    return plan_targets(database, view, instant_at(view, at, now, planning=True), wish), view.zone


def names_in(listed: str) -> list[str]:
    """The names in a file; a word that is no file's name is taken for a list that is not known here."""
    from obslog.errors import UnknownName
    from obslog.exchange.name_list import read_names

    path = Path(listed)
    if not path.exists() and not path.suffix:
        raise UnknownName(
            "list",
            listed,
            WELL_KNOWN_LISTS,
            see=f"Lists: {', '.join(WELL_KNOWN_LISTS)}; or the path of a file, one name a line.",
        )
    return read_names(path)


def show_targets(screen: Screen, planned: "tuple[TargetPlan, ZoneInfo]") -> None:
    plan, zone = planned
    begin, end = computed_local(plan.dark_from_utc, zone), computed_local(plan.dark_until_utc, zone)
    screen.line(f"Targets at {plan.site}, night of {plan.night}", style="bold")
    screen.fields([
        ("planned", f"{begin} to {end} ({plan.dark})"), ("Moon", moon_line(plan, zone)), *_basis(plan),
        ("judged in", judged_line(plan)),
    ])  # fmt: skip
    if plan.targets:
        screen.line()
        if best := best_line(plan):
            screen.line(best, hang=2)
        columns = ["at", "target", "mag", "alt °", "until", "Moon °", "size '", "seen"]
        with_side = any(target.pier_side for target in plan.targets)
        screen.table(
            [*columns, "tube"] if with_side else columns,
            [[*_cells(t, zone), *([t.pier_side] if with_side else [])] for t in plan.targets],
        )
        for word, names in reason_lines(plan):
            screen.line(f"{word}: {names}.", hang=2)
    for note in _notes(plan):
        screen.note(note)
    screen.line()
    screen.line(f"Looked through {plan.considered:,} objects; left out:")
    for left in plan.left_out:
        screen.line(f"{left.count:>6,}  {left.why}", hang=8)
    if not plan.targets:
        screen.note("Nothing is left. Ask for less: a lower --above, another --list, another --at.")


def _evening_picture(planned: "tuple[TargetPlan, ZoneInfo]", minutes: float) -> "Picture":
    from obslog.report.sky_pictures.evening_plan import evening_picture

    return evening_picture(*planned, minutes_each=minutes)


def _notes(plan: "TargetPlan") -> list[str]:
    """What is to be said of single targets: too large for the field, double, near the Sun."""
    from obslog.club.sky.pair_seen import pair_words

    widths = [
        f"{t.name} {t.fills_field:.1f} times its width"
        for t in plan.targets
        if t.fills_field is not None and t.fills_field > 1
    ]
    large = [f"Larger than the field: {', '.join(widths)}."] if widths else []
    double = [f"{t.name}: {pair_words(t.pair)}" for t in plan.targets if t.pair is not None]
    elongations = [
        f"{t.name} {t.sun_deg:.0f}°" for t in plan.targets if t.sun_deg is not None and t.type == "planet"
    ]
    from_sun = [f"Away from the Sun: {', '.join(elongations)}."] if elongations else []
    return [*large, *double, *from_sun]


def _basis(plan: "TargetPlan") -> list[tuple[str, object]]:
    pairs: list[tuple[str, object]] = []
    if plan.sky_meter is not None:
        sky = plan.sky_meter
        spread = "" if sky.sd is None else f" ± {sky.sd:.2f}"
        source = f"median of {counted(sky.readings, 'reading')} here"
        pairs.append(("sky meter", f"{sky.median:.2f}{spread} magnitudes per square arcsecond, {source}"))
    if plan.faintest_star_mag is not None:
        pairs.append(("faintest star", f"magnitude {plan.faintest_star_mag:.1f}, by rule of thumb"))
    if plan.field_arcmin is not None:
        pairs.append(("field", f"{plan.field_arcmin:.0f}'"))
    if plan.mount is not None and plan.field_arcmin is not None:
        pairs.append((f"{plan.mount} lands in it", _chance(plan)))
    if plan.mount is not None:
        pairs.append(("changes of side", plan.flips))
    return pairs


def _document(plan: "TargetPlan") -> dict[str, object]:
    """The plan as scripts read it."""
    told = {field.name: getattr(plan, field.name) for field in fields(plan)}
    chance = plan.chance_in_field
    if chance is not None:
        told["chance_in_field"] = interval_document(chance.inside, "chance", count="setups") | {
            "arrivals": chance.arrivals
        }
    return told


def _chance(plan: "TargetPlan") -> str:
    chance = plan.chance_in_field
    if chance is None:
        return "unknown: no landings on record"
    source = f"{counted(chance.arrivals, 'arrival')} in {counted(chance.inside.count, 'set-up')}"
    alone = "; other nights may differ" if chance.inside.count == 1 else ""
    return f"{chance_interval_words(chance.inside)}, from {source}{alone}"


def _cells(target: "PlannedTarget", zone: ZoneInfo) -> list[object]:
    major, minor = target.size_arcmin
    moon = None if target.type == "Moon" else f"{target.moon_deg:.0f}" if target.moon_up else "down"
    return [
        computed_local(target.at_utc, zone),
        target.full_title,
        None if target.magnitude is None else f"{target.magnitude:.1f} {target.band}",
        f"{target.alt_deg:.0f}",
        computed_local(target.until_utc, zone),
        moon,
        _size(major, minor),
        target.sure,
    ]


def _size(major: float | None, minor: float | None) -> str | None:
    """Length and width in arcminutes, as far as they are known and differ."""
    if major is None:
        return None
    return f"{major:.3g}" if minor in (None, major) else f"{major:.3g}x{minor:.3g}"
