"""A mount's polar axis over the months and what changed in its mechanics, for people."""

from typing import TYPE_CHECKING

from obslog.cli.terminal.screen import Screen
from obslog.estimate_words import NOT_DETERMINED, estimate_words
from obslog.vocabulary.mounts import MountType

if TYPE_CHECKING:
    from obslog.club.over_time.axes_over_time import MechanicalChange, MechanicsOverTime


def show_mechanics(screen: Screen, found: "MechanicsOverTime") -> None:
    """The verdict on the polar axis with its reasons, then each term that a service or another change moved or left."""
    screen.line()
    tube = f" with {found.tube}" if found.tube else ""
    what = "Lean of the base" if found.mount_type is MountType.ALTAZ else "Polar axis from the pole"
    screen.line(f"{what}{tube}: {found.polar_trend.verdict}", style="bold")
    for reason in found.polar_trend.reasons:
        screen.line(reason, indent=2)
    for change in found.mechanical_changes:
        screen.line(_change_words(change), indent=2)


def _change_words(found: "MechanicalChange") -> str:
    begun = f"service of {found.since}" if found.on_record else f"change of {found.since}, not on record"
    what = f"{begun}: {found.term}"
    change = found.change_arcmin
    if not change.determined:
        return f"{what} {NOT_DETERMINED} before and after it"
    told = estimate_words(change, "'", signed=True)
    before, after = (
        estimate_words(one, "'", signed=True) for one in (found.before_arcmin, found.after_arcmin)
    )
    clear = abs(change.value) > 2 * change.sd
    verdict = "changed" if clear else "no change beyond its uncertainty"
    return f"{what} {before} before, {after} after: {told}, {verdict}"
