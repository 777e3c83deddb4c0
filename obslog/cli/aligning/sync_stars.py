"""Before the first star: which stars to sync on, and the plan of a pointing run."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.site_and_time import PlannedThere
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.command import command, first_of
from obslog.cli.terminal.options import MountIfSeveral, TubeUsed
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.club.aligning.usual_limits import FAINTEST_MAG, HIGHEST_ALT_DEG, LOWEST_ALT_DEG
from obslog.estimate_words import chance_cell
from obslog.horizon import read_horizon
from obslog.vocabulary.mounts import MECHANICAL_TERMS

if TYPE_CHECKING:
    from obslog.club.aligning.plan_heading import PlanHeading
    from obslog.club.aligning.sync_star_plan import Expected, RunPage, StarPlan, StarStep
    from obslog.club.register.observing_site import ObservingSite
    from obslog.pointing.planning.observable import ObservableLimits
    from obslog.records.database import Database

Syncs = Annotated[int, typer.Option("--syncs", help="How many stars to sync on.")]
Targets = Annotated[list[str] | None, typer.Option("--target", help="Where you want to go; once for each.")]
Field = Annotated[float | None, typer.Option("--field", help="The eyepiece's true field, arcminutes.")]


@dataclass(frozen=True, slots=True, kw_only=True)
class StarLimits:
    """How high and how bright a star has to be."""

    lowest: Annotated[float, typer.Option("--lowest", help="Lowest altitude of a star, degrees.")] = (
        LOWEST_ALT_DEG
    )
    highest: Annotated[float, typer.Option("--highest", help="Highest altitude, degrees.")] = HIGHEST_ALT_DEG
    faintest: Annotated[float, typer.Option("--faintest", help="Faintest magnitude.")] = FAINTEST_MAG
    horizon: Annotated[
        str | None,
        typer.Option(
            "--horizon", help="What is hidden, azimuth:altitude: 0:10,90:25.", show_default="the site's own"
        ),
    ] = None

    def at(self, view: "ObservingSite") -> "ObservableLimits":
        """The limits at a site, whose own horizon holds where none is given."""
        from obslog.club.aligning.star_candidates import limits_of

        horizon = read_horizon(self.horizon) if self.horizon else view.horizon
        return limits_of(self.lowest, self.highest, self.faintest, horizon)


def add_to(app: typer.Typer) -> None:
    """Put the plans among the commands of pointing."""
    command(app, "stars", show=show_stars, document=first_of)(stars)
    command(app, "run-plan", show=show_run_plan, document=first_of)(run_plan)


def stars(
    database: "Database",
    state: State,
    mount: MountIfSeveral = None,
    *,
    there: PlannedThere,
    tube: TubeUsed = None,
    syncs: Syncs = 3,
    target: Targets = None,
    field: Field = None,
    limits: StarLimits,
) -> "tuple[StarPlan, PlanHeading]":
    """Choose the stars to sync on, and say where go-tos land.

    obslog pointing stars Heron --site "Mill Field" --at 21:00 --syncs 3 --field 73
    """
    from obslog.club.aligning.plan_heading import PlanHeading
    from obslog.club.aligning.sync_star_plan import plan_stars
    from obslog.club.register.usual_choices import mount_meant

    mount = mount_meant(database, mount, state.taken.append)
    view, instant = there.seen(database, state)
    plan = plan_stars(
        database, mount, tube, view, instant, syncs, limits.at(view), targets=target, field_arcmin=field
    )
    return plan, PlanHeading.of(plan.mount, view, instant)


def show_stars(screen: Screen, planned: "tuple[StarPlan, PlanHeading]") -> None:
    plan, heading = planned
    show_caution(screen, plan.caution)
    _show_heading(screen, heading)
    for words in plan.basis:
        screen.line(words, indent=2)
    screen.line()
    _show_steps(screen, plan.stars, plan.after_each)


def run_plan(
    database: "Database",
    state: State,
    mount: MountIfSeveral = None,
    *,
    there: PlannedThere,
    limits: StarLimits,
) -> "tuple[RunPage, PlanHeading]":
    """Plan a pointing run: the acceptance test of a mount.

    It takes one sync, then checks without another.

    obslog pointing run-plan Heron --site "Mill Field" --at 21:00
    """
    from obslog.club.aligning.plan_heading import PlanHeading
    from obslog.club.aligning.sync_star_plan import plan_pointing_run
    from obslog.club.register.usual_choices import mount_meant

    mount = mount_meant(database, mount, state.taken.append)
    view, instant = there.seen(database, state)
    plan = plan_pointing_run(database, mount, view, instant, limits.at(view))
    return plan, PlanHeading.of_run(plan, view, instant)


def show_run_plan(screen: Screen, planned: "tuple[RunPage, PlanHeading]") -> None:
    plan, heading = planned
    show_caution(screen, plan.caution)
    _show_heading(screen, heading)
    screen.line(f"sync on the first star, check the others, about {plan.minutes:.0f} min", indent=2)
    _show_steps(screen, plan.stars)
    told = ", ".join(f"{MECHANICAL_TERMS[term]} to ±{sd:.1f}'" for term, sd in plan.sd_arcmin.items())
    enough = ", ".join(MECHANICAL_TERMS[term] for term in plan.determines) or "none of them"
    screen.line(f"It would tell {told}. Well enough to judge the mount by: {enough}.")


def _show_heading(screen: Screen, heading: "PlanHeading") -> None:
    screen.line(heading.words, style="bold")
    if heading.by_day:
        screen.line(heading.by_day, indent=2)


def _show_steps(screen: Screen, steps: "list[StarStep]", landings: "list[Expected] | None" = None) -> None:
    columns = ["", "star", "mag", "altitude °", "azimuth °", "tube"]
    rows: list[list[object]] = [
        [s.order, s.name, f"{s.magnitude:.1f}", f"{s.alt_deg:.0f}", f"{s.az_deg:.0f}", s.pier_side]
        for s in steps
    ]
    if landings:
        columns += ["then half within '", "95 % within '", "in the field"]
        for row, landing in zip(rows, landings, strict=True):
            chance = "" if landing.chance_in_field is None else chance_cell(landing.chance_in_field)
            row += [f"{landing.half:.1f}", f"{landing.ninety_five_percent:.1f}", chance]
    screen.table(columns, rows)
