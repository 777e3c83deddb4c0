"""How a thing is judged: from evidence to reasons, and from reasons to ready, watch, service, out or retired.

The numbers are those of the rule book. A mount is judged only from several set-ups by several observers; whether its
landing error is its own is asked twice, of the split among mounts and observers, and of the joint fit of its axes.
"""

from collections.abc import Iterator, Sequence
from datetime import date

from obslog.club.register.rule_book import Rules
from obslog.club.review.enough_to_judge import not_judged, since_words, wanting_to_judge
from obslog.club.review.exchanged import Exchanged
from obslog.club.review.verdicts import (
    Growth,
    LandedWith,
    MisfitInWords,
    MountEvidence,
    OwnErrors,
    Reason,
    Status,
    StoreroomEvidence,
)
from obslog.club.storeroom.custody import out_until
from obslog.english import counted
from obslog.estimate_words import (
    estimate_document,
    estimate_words,
    interval_document,
    interval_words,
    size_words,
    times_words,
)
from obslog.pointing.joint_fit.words import ARCMIN
from obslog.trends.series.growth import Grown
from obslog.values import Estimate, Interval
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MECHANICAL_TERMS, MountType

NOT_THE_MOUNTS = (MisfitKind.OBSERVER, MisfitKind.MISFIT)
SURE = 1.96  # standard deviations: the ends of a 95 % interval


def standing_reasons(standing: StoreroomEvidence, rules: Rules, today: date) -> Iterator[Reason]:
    """Retired, out, overdue, missing, without a part, service due, damaged, a tired battery, idle."""
    if standing.retired_on is not None:
        why = f": {standing.retired_why}" if standing.retired_why else ""
        yield Reason(
            Status.RETIRED, 1, f"retired on {standing.retired_on}{why}", {"retired_on": standing.retired_on}
        )
        return
    if standing.due_on is not None:
        late = (today - standing.due_on).days
        overdue = f"; overdue by {counted(late, 'day')}" if late > rules["overdue-out"] else ""
        words = f"{out_until(standing.holder, standing.due_on)}{overdue}"
        evidence = {"member": standing.holder, "due_on": standing.due_on, "days_late": max(late, 0)}
        yield Reason(Status.OUT, 2 if overdue else 1, words, evidence)
    for part, since in standing.missing.items():
        when = f" since {since}" if since else ""
        verb = "has been" if since else "is"
        words = f"{part} {verb} missing{when}" if part else f"missing{when}"
        yield Reason(Status.WATCH if part else Status.OUT, 3, words, {"part": part or None, "since": since})
    for words in standing.astray:
        yield Reason(Status.WATCH, 3, words, {})
    for words in standing.service_due:
        yield Reason(Status.SERVICE, 2, words, {})
    if (damage := standing.damage) is not None:
        moved = "came back" if damage.came_back else "went out"
        words = f"{damage.word} when it {moved} on {damage.on}{f': {damage.note}' if damage.note else ''}"
        yield Reason(Status.SERVICE, 2.5, words, {"condition": damage.word, "on": damage.on})
    if standing.battery_percent is not None and standing.battery_percent < rules["battery-percent"]:
        words = f"at its last test it had {standing.battery_percent:g} % of its capacity"
        yield Reason(Status.SERVICE, 2, words, {"capacity_percent": standing.battery_percent})
    if standing.idle_days is not None and standing.idle_days >= rules["idle-days"]:
        words = f"neither used nor lent for {counted(standing.idle_days, 'day')}"
        yield Reason(Status.WATCH, 0.5, words, {"idle_days": standing.idle_days})


def mount_reasons(name: str, mount: MountEvidence, rules: Rules) -> Iterator[Reason]:
    """What the nights say of a mount; beside its snags only that they are too few, where they are."""
    yield from _snag_reasons(mount, rules)
    if not mount.goes_to:
        return
    wanting = wanting_to_judge(mount, rules)
    if wanting is not None:
        yield not_judged(name, mount, wanting)
        return
    grows = [] if mount.growth is None else list(_growth_reasons(mount.growth, rules))
    unexplained = list(_left_out_reasons(mount.left_out))
    told_of_itself = any(reason.status is not Status.READY for reason in (*grows, *unexplained))
    yield from grows
    by_several = [landed for landed in mount.landed if landed.observers >= rules["fewest-observers"]]
    for landed in by_several:
        if landed.own is not None:
            yield from _own_reasons(landed.own, rules)
    yield from unexplained
    yield from _exchanged_reasons(mount.exchanged)
    for landed in by_several:
        yield from _landing_reasons(landed, since_words(mount), rules, may_be_cleared=not told_of_itself)


def _snag_reasons(mount: MountEvidence, rules: Rules) -> Iterator[Reason]:
    """The same step, again and again, with different people: at the mount's own steps that speaks of the mount."""
    for snag in mount.snags:
        if snag.members >= rules["snag-members"]:
            status = Status.READY if snag.step in mount.people_do else Status.WATCH
            words = (
                f"{counted(snag.count, 'open snag')} at the step {snag.step} from {counted(snag.members, 'member')}, "
                f"most recently on {snag.newest}"
            )
            words += "; this step depends on people, not on the mount" if status is Status.READY else ""
            evidence = {"step": snag.step, "count": snag.count, "members": snag.members}
            yield Reason(status, 1 + snag.members / 10, words, evidence)


def _growth_reasons(growth: Growth, rules: Rules) -> Iterator[Reason]:
    if growth.verdict == "worsening" and growth.factor is not None:
        yield _worsening_reason(growth.factor, growth.since, rules)
    nights = growth.alarm_nights
    if len(nights) >= rules["alarms-watch"]:
        words = (
            f"its landing error exceeded the control limit on {counted(len(nights), 'night')}, "
            f"most recently on {nights[-1]}"
        )
        yield Reason(Status.WATCH, 2, words, {"nights": nights})


def _worsening_reason(found: Interval | Grown, since: str, rules: Rules) -> Reason:
    """What it grows by in a year; of less than half a year what was seen, and no guess at the rest."""
    if isinstance(found, Grown):
        factor = found.factor
        grows = f"grew by a factor of {interval_words(factor)} {found.time}"
        numbers = {
            "per_year": None,
            **interval_document(factor, "factor", count="setups"),
            "days": found.days,
        }
    else:
        factor = found
        grows = f"grows by a factor of {interval_words(factor)} a year"
        numbers = interval_document(factor, "per_year", count="setups")
    status = Status.SERVICE if factor.value >= rules["growth-service"] else Status.WATCH
    return Reason(
        status, 3, f"its landing error {grows} over {counted(factor.count, 'set-up')}{since}", numbers
    )


def _own_reasons(own: OwnErrors, rules: Rules) -> Iterator[Reason]:
    scatter = own.scatter_arcmin
    surely = scatter.value - SURE * scatter.sd
    if surely > rules["scatter-watch"]:
        status = Status.SERVICE if surely > rules["scatter-service"] else Status.WATCH
        words = (
            f"its own scatter is {size_words(scatter, ARCMIN)} per axis over {counted(scatter.count, 'reading')}"
            f"{own.with_tube}, whoever set it up: look for slack in the gears and clutches"
        )
        yield Reason(status, 2 + surely / 100, words, _numbers("scatter", scatter))
    for term, remedy, found in (
        ("cone error", "the tube is not square to its axis; shim or turn the rings", own.cone_arcmin),
        ("squareness", "the axes are not square to each other; for the workshop", own.squareness_arcmin),
        ("sag", "the tube bends under its weight; a stiffer saddle or a lighter load", own.sag_arcmin),
    ):
        if found.determined and abs(found.value) - SURE * found.sd > rules["crooked-watch"]:
            error = estimate_words(found, ARCMIN, signed=True)
            words = f"{term} {error} over {counted(found.count, 'reading')}{own.with_tube}: {remedy}"
            yield Reason(Status.WATCH, 1.5, words, _numbers(term, found))


def _left_out_reasons(left_out: Sequence[MisfitInWords]) -> Iterator[Reason]:
    """What the model of the mount does not explain: a person's reading is no fault of the mount's."""
    for found in left_out:
        better = found.kind is MisfitKind.SCATTER and (found.size_arcmin or 0.0) < 0.0
        status = Status.READY if better or found.kind in NOT_THE_MOUNTS else Status.WATCH
        numbers = {"kind": found.kind, "size_arcmin": found.size_arcmin, "since": found.since}
        yield Reason(status, 1.2, found.words, numbers)


def _exchanged_reasons(found: Sequence[Exchanged]) -> Iterator[Reason]:
    """A mount that became another one of the club's was mixed up with it; nobody has to look for a knock."""
    for one in found:
        term = MECHANICAL_TERMS[one.change.term]
        words = (
            f"{one.change.when} its {term} became what {one.other}'s had been, and {one.other}'s what its own had "
            "been: were the two exchanged then, or their tubes, labels, or names on sheets?"
        )
        yield Reason(Status.WATCH, 1.3, words, {"other": one.other, "since": one.change.since})


def _landing_reasons(
    landed: LandedWith, since: str, rules: Rules, *, may_be_cleared: bool
) -> Iterator[Reason]:
    """Whose the landing error is, where the split says that it is more than the club's, or its name is bad.

    It is not cleared while its course, or what the fit does not explain, speaks against it.
    """
    effect, own = landed.effect, landed.own
    if effect is None:
        return
    numbers = _landing_numbers(landed, effect)
    worse = effect.low is not None and effect.low > rules["effect-watch"]
    if own is not None and may_be_cleared and _surely_sound(own, rules):
        if worse or max(effect.value, landed.raw_ratio or 0.0) >= rules["bad-name"]:
            yield Reason(Status.READY, 2.5, _cleared(landed, effect, own, since, rules), numbers)
    elif worse and own is None:
        yield Reason(Status.WATCH, 2, f"{_lands(landed, effect, since)}; the fit cannot tell why", numbers)
    elif worse and own is not None and _surely_more(own.scatter_arcmin, rules["scatter-watch"]):
        words = f"{_lands(landed, effect, since)}, and its own scatter says the same{_hidden(landed, effect)}"
        yield Reason(Status.SERVICE, 2.5, words, numbers)
    elif worse:
        yield Reason(Status.WATCH, 2, _lands(landed, effect, since), numbers)


def _lands(landed: LandedWith, effect: Interval, since: str) -> str:
    return (
        f"{_with_tube(landed)}it misses by {times_words(effect)} over {counted(effect.count, 'set-up')}{since} "
        f"by {counted(landed.observers, 'observer')}"
    )


def _with_tube(landed: LandedWith) -> str:
    return f"{landed.with_tube.lstrip()} " if landed.with_tube else ""


def _cleared(landed: LandedWith, effect: Interval, own: OwnErrors, since: str, rules: Rules) -> str:
    lands = f"{_lands(landed, effect, since)}, but"
    if landed.raw_ratio is not None and effect.value < rules["bad-name"] <= landed.raw_ratio:
        lands = (
            f"as used{landed.with_tube} it misses by {landed.raw_ratio:.2f} times the club's average, but allowing for "
            f"who set it up and where, {_lands(landed, effect, since)}:"
        )
    return (
        f"{lands} the mount is not at fault: its scatter is "
        f"{size_words(own.scatter_arcmin, ARCMIN)} and its axes are true{_as_set_up(own)}: help the borrowers"
    )


def _as_set_up(own: OwnErrors) -> str:
    """How far from the pole it was set up, or from level; nothing where no set-up tells."""
    if own.polar_axis_off_arcmin is None:
        return ""
    what = "lean of the base" if own.mount_type is MountType.ALTAZ else "polar-axis error"
    return f"; median {what} {own.polar_axis_off_arcmin:.0f}' over {counted(own.setups, 'set-up')}"


def _hidden(landed: LandedWith, effect: Interval) -> str:
    """As it is used, where that is surely less than what is its own; whether its people or its sites do it is open."""
    if landed.raw_ratio is None or effect.low is None or landed.raw_ratio >= effect.low:
        return ""
    return f"; as used, with these people and sites, it is {landed.raw_ratio:.2f} times"


def _landing_numbers(landed: LandedWith, effect: Interval) -> dict[str, object]:
    own = landed.own
    return {
        **interval_document(effect, "ratio", count="setups"),
        "observers": landed.observers,
        "raw_ratio": landed.raw_ratio,
        "scatter_arcmin": own.scatter_arcmin.value if own else None,
        "polar_axis_off_arcmin": own.polar_axis_off_arcmin if own else None,
    }


def _surely_more(found: Estimate, limit: float) -> bool:
    return found.value - SURE * found.sd > limit


def _surely_sound(own: OwnErrors, rules: Rules) -> bool:
    """Scatter, cone error, squareness and sag all known, and even at the ends of their intervals within the limits."""
    scatter = own.scatter_arcmin
    terms = (own.cone_arcmin, own.squareness_arcmin, own.sag_arcmin)
    return scatter.value + SURE * scatter.sd < rules["scatter-watch"] and all(
        found.determined and abs(found.value) + SURE * found.sd < rules["crooked-watch"] for found in terms
    )


def _numbers(what: str, found: Estimate) -> dict[str, object]:
    return {"term": what, **estimate_document(found, determined=False), "count": found.count}
