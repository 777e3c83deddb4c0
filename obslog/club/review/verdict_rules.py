"""How a thing is judged: from evidence to reasons, and from reasons to ready, watch, service, out or retired.

The numbers are those of the rule book. A mount is judged only from several set-ups by several observers; whether its
landing error is its own is asked twice, of the split among mounts and observers, and of the joint fit of its axes.
"""

from collections.abc import Iterator, Sequence
from datetime import date

from obslog.club.register.rule_book import Rules
from obslog.club.review.verdicts import (
    Effect,
    Growth,
    MountEvidence,
    OpenSnags,
    OwnErrors,
    Reason,
    Standing,
    Status,
)
from obslog.club.storeroom.custody import out_until
from obslog.errors import quoted
from obslog.values import Estimate
from obslog.vocabulary import THE_PERSONS

SURE = 1.96  # standard deviations: the ends of a 95 % interval


def standing_reasons(standing: Standing, rules: Rules, today: date) -> Iterator[Reason]:
    """Retired, out, overdue, missing, service due, idle, a tired battery."""
    if standing.retired_on is not None:
        why = f": {standing.retired_why}" if standing.retired_why else ""
        yield Reason(
            Status.RETIRED, 1, f"retired on {standing.retired_on}{why}", {"retired_on": standing.retired_on}
        )
        return
    if standing.due_on is not None:
        late = (today - standing.due_on).days
        overdue = f"; overdue by {late} days" if late > rules["overdue-out"] else ""
        words = f"{out_until(standing.holder, standing.due_on)}{overdue}"
        evidence = {"member": standing.holder, "due_on": standing.due_on, "days_late": max(late, 0)}
        yield Reason(Status.OUT, 2 if overdue else 1, words, evidence)
    for part, since in standing.missing.items():
        when = f" since {since}" if since else ""
        words = f"{part} is missing{when}" if part else f"missing{when}"
        yield Reason(Status.WATCH if part else Status.OUT, 3, words, {"part": part or None, "since": since})
    for words in standing.service_due:
        yield Reason(Status.SERVICE, 2, words, {})
    if standing.battery_percent is not None and standing.battery_percent < rules["battery-percent"]:
        words = f"at its last test it had {standing.battery_percent:.0f} % of its capacity"
        yield Reason(Status.SERVICE, 2, words, {"capacity_percent": standing.battery_percent})
    if standing.idle_days is not None and standing.idle_days >= rules["idle-days"]:
        words = f"neither used nor lent for {standing.idle_days} days"
        yield Reason(Status.WATCH, 0.5, words, {"idle_days": standing.idle_days})


def mount_reasons(name: str, mount: MountEvidence, rules: Rules) -> Iterator[Reason]:
    """What the nights say of a mount; beside its snags only that they are too few, where they are."""
    yield from _snag_reasons(mount.snags, rules)
    if not enough_to_judge(mount, rules):
        yield _too_few(name, mount)
        return
    if mount.growth is not None:
        yield from _growth_reasons(mount.growth, rules)
    if mount.own is not None:
        yield from _own_reasons(mount.own, rules)
    yield from _landing_reasons(mount, rules)


def enough_to_judge(mount: MountEvidence, rules: Rules) -> bool:
    """Several set-ups by several observers: never a verdict from one night or one borrower."""
    return mount.setups >= rules["fewest-setups"] and mount.observers >= rules["fewest-observers"]


def _snag_reasons(snags: Sequence[OpenSnags], rules: Rules) -> Iterator[Reason]:
    """The same step, again and again, with different people: at the mount's own steps that speaks of the mount."""
    for snag in snags:
        if snag.members >= rules["snag-members"]:
            status = Status.READY if snag.step in THE_PERSONS else Status.WATCH
            words = (
                f"{snag.count} snags at the step {snag.step} are not mended, from {snag.members} different members, "
                f"the newest on {snag.newest}"
            )
            words += "; a step that people do, whatever the mount" if status is Status.READY else ""
            evidence = {"step": snag.step, "count": snag.count, "members": snag.members}
            yield Reason(status, 1 + snag.members / 10, words, evidence)


def _too_few(name: str, mount: MountEvidence) -> Reason:
    since = f" since the service of {mount.serviced_on}" if mount.serviced_on else ""
    site = quoted(mount.usual_site) if mount.usual_site else "SITE"
    words = (
        f"{mount.setups} set-up{'' if mount.setups == 1 else 's'}{since} by {mount.observers} "
        f"observer{'' if mount.observers == 1 else 's'} are too few to judge; a pointing run would settle it: "
        f"obslog pointing run-plan {quoted(name)} --site {site}"
    )
    return Reason(Status.WATCH, 1, words, {"setups": mount.setups, "observers": mount.observers})


def _growth_reasons(growth: Growth, rules: Rules) -> Iterator[Reason]:
    if growth.verdict == "worsening" and growth.per_year is not None:
        status = Status.SERVICE if growth.per_year >= rules["growth-service"] else Status.WATCH
        words = (
            f"its landing error grows: x {growth.per_year:.2f} a year (95 %: {growth.low:.2f} to {growth.high:.2f}) "
            f"over {growth.setups} set-ups"
        )
        evidence = {
            "per_year": growth.per_year,
            "low": growth.low,
            "high": growth.high,
            "setups": growth.setups,
        }
        yield Reason(status, 3, words, evidence)
    nights = growth.alarm_nights
    if len(nights) >= rules["alarms-watch"]:
        words = f"the control chart was left to the worse on {len(nights)} nights, lastly {nights[-1]}"
        yield Reason(Status.WATCH, 2, words, {"nights": nights})


def _own_reasons(own: OwnErrors, rules: Rules) -> Iterator[Reason]:
    scatter = own.scatter_arcmin
    surely = scatter.value - SURE * scatter.sd
    if surely > rules["scatter-watch"]:
        status = Status.SERVICE if surely > rules["scatter-service"] else Status.WATCH
        words = (
            f"its own scatter is {scatter.value:.1f} ± {scatter.sd:.1f}' per axis over {scatter.count} readings, "
            "whoever set it up: look for slack in the gears and clutches"
        )
        yield Reason(status, 2 + surely / 100, words, _numbers("scatter", scatter))
    for term, remedy, found in (
        ("cone error", "the tube sits crooked; shim or turn the rings", own.cone_arcmin),
        ("squareness", "the axes are not square; for the workshop", own.squareness_arcmin),
    ):
        if found.determined and abs(found.value) - SURE * found.sd > rules["crooked-watch"]:
            words = f"{term} {found.value:+.1f} ± {found.sd:.1f}' over {found.count} readings: {remedy}"
            yield Reason(Status.WATCH, 1.5, words, _numbers(term, found))


def _landing_reasons(mount: MountEvidence, rules: Rules) -> Iterator[Reason]:
    """Whose the landing error is, where the split says that it is more than the club's, or its name is bad."""
    effect, own = mount.effect, mount.own
    if effect is None:
        return
    worse = effect.low > rules["effect-watch"]
    if own is not None and _surely_sound(own, rules):
        if worse or max(effect.ratio, mount.raw_ratio or 0.0) >= rules["bad-name"]:
            yield Reason(Status.READY, 2.5, _cleared(mount, effect, own), _landing_numbers(mount, effect))
    elif worse and own is None:
        words = f"{_lands(mount, effect)}; the fit cannot tell why"
        yield Reason(Status.WATCH, 2, words, _landing_numbers(mount, effect))
    elif worse and own is not None and _surely_more(own.scatter_arcmin, rules["scatter-watch"]):
        words = f"{_lands(mount, effect)}, and its own scatter says the same{_hidden(mount, effect)}"
        yield Reason(Status.SERVICE, 2.5, words, _landing_numbers(mount, effect))
    elif worse:
        yield Reason(Status.WATCH, 2, _lands(mount, effect), _landing_numbers(mount, effect))


def _lands(mount: MountEvidence, effect: Effect) -> str:
    return (
        f"it lands x {effect.ratio:.2f} of the club's (95 %: {effect.low:.2f} to {effect.high:.2f}) "
        f"over {mount.setups} set-ups by {mount.observers} observers"
    )


def _cleared(mount: MountEvidence, effect: Effect, own: OwnErrors) -> str:
    scatter = own.scatter_arcmin
    return (
        f"{_lands(mount, effect)}, but not by its own fault: its scatter is {scatter.value:.1f} ± {scatter.sd:.1f}' "
        f"and its axes are true; its {own.setups} set-ups stood {own.polar_axis_off_arcmin:.0f}' from the pole in "
        "the median: help the borrowers"
    )


def _hidden(mount: MountEvidence, effect: Effect) -> str:
    """What careful people hide of a bad mount."""
    if mount.raw_ratio is None or mount.raw_ratio >= effect.ratio:
        return ""
    return f"; those who set it up hide part of it, as it stands it is x {mount.raw_ratio:.2f}"


def _landing_numbers(mount: MountEvidence, effect: Effect) -> dict[str, object]:
    own = mount.own
    return {
        "ratio": effect.ratio,
        "low": effect.low,
        "high": effect.high,
        "setups": mount.setups,
        "observers": mount.observers,
        "raw_ratio": mount.raw_ratio,
        "scatter_arcmin": own.scatter_arcmin.value if own else None,
        "polar_axis_off_arcmin": own.polar_axis_off_arcmin if own else None,
    }


def _surely_more(found: Estimate, limit: float) -> bool:
    return found.value - SURE * found.sd > limit


def _surely_sound(own: OwnErrors, rules: Rules) -> bool:
    """Scatter, cone error and squareness all known, and even at the ends of their intervals within the thresholds."""
    scatter = own.scatter_arcmin
    axes = (own.cone_arcmin, own.squareness_arcmin)
    return scatter.value + SURE * scatter.sd < rules["scatter-watch"] and all(
        found.determined and abs(found.value) + SURE * found.sd < rules["crooked-watch"] for found in axes
    )


def _numbers(what: str, found: Estimate) -> dict[str, object]:
    return {"term": what, "value_arcmin": found.value, "sd_arcmin": found.sd, "count": found.count}
