"""Preparing a set-up: the checklist."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import SHIPPED_AND_OWN, MountIfSeveral, PlannedAt, SetUpBy, Site
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.checklist.checklist import Checklist, ChecklistStep
    from obslog.club.checklist.look_first import LookFirst
    from obslog.club.checklist.step_ticks import TickLine
    from obslog.records.database import Database

Short = Annotated[bool, typer.Option("--short", help="Titles, values and snags only.")]
Tick = Annotated[
    str | None,
    typer.Option(
        "--tick", help=f"Put on record that this step is done: {SHIPPED_AND_OWN}.", show_default=False
    ),
]
Value = Annotated[
    str | None,
    typer.Option("--value", help="With --tick: what was read or set; volts at rest, then slewing."),
]
Wrong = Annotated[bool, typer.Option("--wrong", help="With --tick: it did not go well.")]


class NothingTicked(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "A value or --wrong is about one step, and none is named.",
            'Name it: --tick power --value "12.6 12.1"',
        )


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "checklist", show=show_checklist_or_tick)(checklist)


def checklist(
    database: "Database",
    now: datetime,
    state: State,
    mount: MountIfSeveral = None,
    site: Site = None,
    at: PlannedAt = None,
    member: SetUpBy = None,
    short: Short = False,
    tick: Tick = None,
    value: Value = None,
    wrong: Wrong = False,
) -> "Checklist | TickLine":
    """Go through the steps of a set-up in order.

    Where to look first, tonight's values, and what went wrong at each step before.

    obslog checklist Heron --site "Mill Field" --member Ines
    obslog checklist Heron --site "Mill Field" --tick power --value "12.6 12.1"
    """
    from obslog.club.register.observing_site import instant_at_site
    from obslog.club.register.usual_choices import mount_meant, person_meant, site_meant

    if tick is None and (value is not None or wrong):
        raise NothingTicked
    mount = mount_meant(database, mount, state.taken.append)
    site = site_meant(database, site, state.taken.append)
    if tick is not None:
        from obslog.club.checklist.step_ticks import tick_step

        at_utc = instant_at_site(database, site, at, now)
        return tick_step(
            database,
            tick,
            mount,
            site,
            at_utc,
            now,
            member_name=member,
            went_well=not wrong,
            value=value,
            me=state.me,
        )
    from obslog.club.checklist.checklist import checklist as make_checklist

    member = person_meant(database, member, state.me, state.taken.append)
    at_utc = instant_at_site(database, site, at, now, planning=True)
    return make_checklist(database, mount, site, at_utc, member_name=member)


def show_checklist_or_tick(screen: Screen, made: "Checklist | TickLine", short: bool) -> None:
    from obslog.club.checklist.checklist import Checklist

    if isinstance(made, Checklist):
        show_checklist(screen, made, short=short)
    else:
        screen.line(_ticked_words(made))


def show_checklist(screen: Screen, made: "Checklist", *, short: bool = False) -> None:
    who = f", {made.member}" if made.member else ""
    for caution in filter(None, (made.by_day, made.caution)):
        screen.line(caution)
    screen.line(f"Checklist: {made.mount} at {made.site}, {made.local}{who}", style="bold")
    for notice in made.notices:
        screen.line(f"! {notice.words}")
    if made.look_first:
        screen.line()
        show_look_first(screen, made.look_first)
    if short and made.look_first:
        screen.line()
    for step in made.steps:
        _show_step(screen, step, short=short)


def _show_step(screen: Screen, step: "ChecklistStep", *, short: bool) -> None:
    from obslog.club.checklist.past_snags import past_snag_words

    if not short:
        screen.line()
    aim = f" [{step.tolerance}]" if step.tolerance else ""
    title = f"{step.order:>2}. {step.title}{aim}{_tick_words(step)}"
    screen.line(title, style="" if short else "bold", hang=4)
    if not short:
        screen.line(step.do, indent=4)
    for value in step.values:
        screen.line(f"> {value}", indent=4, hang=2)
    told: set[tuple[datetime, str]] = set()
    for snag in step.snags:
        last = (snag.last, snag.last_text)
        screen.line(f"! {past_snag_words(snag, told_already=last in told)}", indent=4, hang=2)
        told.add(last)
    if step.why and not short:
        screen.line(f"Why: {step.why}", style="dim", indent=4, hang=5)


def show_look_first(screen: Screen, look_first: "list[LookFirst]", indent: int = 0) -> None:
    """The block at the top, one line a step; nothing where nothing goes wrong often."""
    from obslog.club.checklist.look_first import look_first_words

    if look_first:
        screen.line("Look first:", style="bold", indent=indent)
    for one in look_first:
        screen.line(f"!! {look_first_words(one)}", indent=indent + 2, hang=3)


def _ticked_words(line: "TickLine") -> str:
    how = "went WRONG" if line.went_well is False else "done"
    about = ", ".join(name for name in (line.mount, line.member, line.site) if name)
    return f"{line.step}: {how}{f', {line.value}' if line.value else ''} ({about})"


def _tick_words(step: "ChecklistStep") -> str:
    if step.tick is None:
        return ""
    value = f": {step.tick.value}" if step.tick.value else ""
    return f" - {'went WRONG' if step.tick.went_well is False else 'done'}{value}"
