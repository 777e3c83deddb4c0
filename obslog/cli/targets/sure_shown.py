"""How sure the targets are to be seen, in lines for the screen: the Moon, what they are judged by, the reasons."""

from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from obslog.times import computed_local

if TYPE_CHECKING:
    from obslog.club.targets.planned_targets import MoonTonight, PlannedTarget, TargetPlan

BEST_OF_EACH = 3
_TOLD_MAG = 0.05
_WORDS = {
    "easily": "Easily seen",
    "with care": "Seen with care",
    "hardly": "Hardly seen",
    "unknown": "Not known whether it shows",
}


def moon_line(plan: "TargetPlan", zone: ZoneInfo) -> str:
    """The phase, when the Moon is up in the dark, and by how much it brightens the sky behind the targets."""
    words = f"{plan.moon.phase}, {plan.moon.illuminated * 100:.0f} % lit, {_when_up(plan, plan.moon, zone)}"
    others = [t.moonlight_mag for t in plan.targets if t.type != "Moon"]
    light = [mag for mag in others if mag >= _TOLD_MAG]
    if not light:
        return words
    low, high = f"{min(light):.1f}", f"{max(light):.1f}"
    much = low if low == high else f"{low} to {high}"
    where = "the targets" if len(light) == len(others) else "some targets"
    return f"{words}; behind {where} the sky is brighter by {much} mag"


def _when_up(plan: "TargetPlan", moon: "MoonTonight", zone: ZoneInfo) -> str:
    if not moon.up:
        return "down while it is dark"
    spells = []
    for spell in moon.up:
        begins = spell.from_utc <= plan.dark_from_utc
        ends = spell.until_utc >= plan.dark_until_utc
        if begins and ends:
            return "up while it is dark"
        begin = "" if begins else f"from {computed_local(spell.from_utc, zone)}"
        end = "" if ends else f"until {computed_local(spell.until_utc, zone)}"
        spells.append(" ".join(word for word in (begin, end) if word))
    return f"up {' and '.join(spells)}"


def judged_line(plan: "TargetPlan") -> str:
    """The tube and the sky that the targets are judged by, and what of it is assumed."""
    tube = plan.judged_in
    named = f"{tube.tube}, {tube.aperture_mm:g} mm" if tube.tube else f"{tube.aperture_mm:g} mm"
    at = "" if tube.magnification is None else f", at {tube.magnification:.0f}x"
    why = f" ({tube.why})" if tube.why else ""
    sky = f"a sky of {plan.sky_mag:.1f} overhead without the Moon"
    if plan.sky_meter is None:
        sky += ", a usual country sky: no sky-meter reading here"
    elif plan.sky_meter.under_moon:
        sky += ", though each reading was taken under the Moon"
    return f"{named}{at}{why}; {sky}"


def best_line(plan: "TargetPlan") -> str:
    """The targets to choose where there is no time for all: the best of each kind."""
    kinds: dict[str, list[str]] = {}
    for target in sorted(plan.targets, key=lambda t: t.rank):
        if target.sure in ("easily", "with care"):
            kinds.setdefault(target.kind, []).append(_short(target))
    told = [f"{kind} {', '.join(names[:BEST_OF_EACH])}" for kind, names in kinds.items()]
    return f"Best of each kind: {'; '.join(told)}." if told else ""


def _short(target: "PlannedTarget") -> str:
    """The number, or the abbreviation that people use instead, such as LMC."""
    _, _, common = target.title.partition(", ")
    return common if common.isupper() else target.name


def reason_lines(plan: "TargetPlan") -> list[tuple[str, str]]:
    """For each word and reason, in the order of the words, the targets that have it."""
    groups: dict[tuple[str, str], list[str]] = {}
    words = list(_WORDS)
    for target in sorted(plan.targets, key=lambda t: words.index(t.sure)):
        groups.setdefault((target.sure, target.why), []).append(_short(target))
    return [(f"{_WORDS[sure]}, {why}", ", ".join(names)) for (sure, why), names in groups.items()]
