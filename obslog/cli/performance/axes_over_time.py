"""A mount's polar axis over the months and what services changed, for people and for scripts."""

from typing import TYPE_CHECKING, Any

from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.performance.axes_over_time import MechanicalChange, MechanicsOverTime
    from obslog.trends.series.theil_sen import Slope


def slope_document(slope: "Slope | None") -> dict[str, float] | None:
    """A slope as scripts read it."""
    if slope is None:
        return None
    return {"per_year": slope.per_year, "low": slope.low, "high": slope.high, "p": slope.p}


def mechanics_document(found: "MechanicsOverTime") -> dict[str, Any]:
    """The keys that `pointing trend --mechanics` adds."""
    polar = found.polar_trend
    return {
        "polar_trend": {
            "tube": found.tube,
            "setups": polar.setups,
            "slope": slope_document(polar.slope),
            "verdict": polar.verdict,
            "reasons": polar.reasons,
        },
        "mechanical_changes": found.mechanical_changes,
    }


def show_mechanics(state: State, found: "MechanicsOverTime") -> None:
    """The verdict on the polar axis with its reasons, then each term that a service changed or left."""
    screen = state.screen
    screen.line()
    tube = f" with {found.tube}" if found.tube else ""
    screen.line(f"Polar axis from the pole{tube}: {found.polar_trend.verdict}", style="bold")
    for reason in found.polar_trend.reasons:
        screen.line(reason, indent=2)
    for change in found.mechanical_changes:
        screen.line(_change_words(change), indent=2)


def _change_words(change: "MechanicalChange") -> str:
    what = f"service of {change.since}: {change.term}"
    if not change.determined:
        return f"{what} is not known well enough before and after it"
    way = f"{change.before_arcmin:+.1f}' before, {change.after_arcmin:+.1f}' after"
    clear = abs(change.change_arcmin) > 2 * change.sd_arcmin
    verdict = "changed" if clear else "no change beyond its uncertainty"
    return f"{what} {way}: {change.change_arcmin:+.1f} ± {change.sd_arcmin:.1f}', {verdict}"
