"""What a verdict begins with: one sentence that a member understands, and that the numbers below it bear out.

Of a fit: the cone error, whether it has moved, and what counts for more. Of the split of errors: what makes the most of
them. Of several mounts: which of them change, and which land farther off than the first. What the data do not tell is
said to be so: a false sentence is worse than none.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from obslog.club.performance.mount_fits import Fitted
from obslog.english import counted, enumerated
from obslog.estimate_words import RATIO, arcmin_words, percent_words
from obslog.pointing.joint_fit.answer import MechanicalFit
from obslog.pointing.joint_fit.words import clear_of_zero
from obslog.pointing.misfit.circumstances import LEAST_SETUPS
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.trends.attribution.attribution import REST
from obslog.trends.series.theil_sen import Verdict
from obslog.values import Estimate, Interval
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MECHANICAL_TERMS, MountType

LEAST_TO_COMPARE = 2 * LEAST_SETUPS
LEAST_AXES = 3
"""Set-ups whose polar axis is known, to say how far half of them stood from the pole."""
SURE_SD = 2.0
LEAST_SAID_ARCMIN = 1.0
TENTHS_TO = 9.9
MOST = 0.5
AT_WORK = {
    MisfitKind.SIDE_OF_PIER: "stars stand {size} elsewhere after a flip",
    MisfitKind.OBSERVER: "one person reads {size} to one side",
    MisfitKind.DIRECTION: "it has slack of {size} to either side",
    MisfitKind.ALTITUDE: "low stars are off by {size} for a reason of their own",
    MisfitKind.TEMPERATURE: "it bends with the temperature",
}
MAKES = {"mount": "the mount", "observer": "who set it up", "site": "the site", REST: "the night itself"}
WITH_ITS_TUBE = "the mount with its tube"


def fit_sentence(fitted: Fitted) -> str:
    """The cone error of the newest era, whether it moved, what else is at work, and how people set up the mount.

    Of a mount that had other tubes too it says with which.
    """
    said = _of_tube(fitted)
    if not fitted.placed.others:
        return said
    tube = fitted.placed.tube
    return f"With {tube}: {said}" if tube else f"With no tube on record: {said}"


def _of_tube(fitted: Fitted) -> str:
    placed, era = fitted.placed, fitted.fit.mechanical[-1]
    newest = placed.era_of_setup == placed.era_of_setup[-1]
    setups, measured = int(newest.sum()), era.cone.count
    if placed.serviced_since is not None:
        return (
            f"What {placed.mount}'s own errors are since the service of {placed.serviced_since} is not known: all of "
            "its set-ups were before it."
        )
    if not any(getattr(era, term).determined for term in MECHANICAL_TERMS):
        return (
            f"What {placed.mount}'s own errors are cannot be told yet from {counted(measured, 'arrival')} in "
            f"{counted(setups, 'set-up')}{_people(fitted, era)}."
        )
    return f"{_cone(placed.mount, era)}{_moved(fitted, setups)}{_people(fitted, era)}{_at_work(fitted)}."


def _cone(mount: str, era: MechanicalFit) -> str:
    cone = era.cone
    if not cone.determined:
        return f"{mount}'s cone error cannot be told yet"
    if clear_of_zero(cone):
        return f"{mount}'s cone error is about {arcmin_words(abs(cone.value))}"
    return f"{mount}'s cone error is under {_ceiling_words(_most(cone))}"


def _most(estimate: Estimate) -> float:
    """What its size is hardly above."""
    return abs(estimate.value) + SURE_SD * estimate.sd


def _ceiling_words(arcmin: float) -> str:
    """Rounded away from zero: what is under the one is under the other."""
    return arcmin_words(float(np.ceil(arcmin) if arcmin > TENTHS_TO else np.ceil(10 * arcmin) / 10))


def _floor_words(arcmin: float) -> str:
    return arcmin_words(float(np.floor(arcmin) if arcmin >= TENTHS_TO else np.floor(10 * arcmin) / 10))


def _moved(fitted: Fitted, setups: int) -> str:
    """Since when it is so, and whether it has stayed: said where there are set-ups enough to see a change."""
    told = fitted.fit.mechanical[-1].cone.determined
    begun = _begun_by(fitted)
    if begun is not None and begun.sure:
        what = "it" if begun.term == "cone" else f"its {MECHANICAL_TERMS[begun.term]}"
        return f", since {what} changed {begun.when}" if told else f"; {what} changed {begun.when}"
    if begun is not None:
        what = "it" if begun.term == "cone" else f"its {MECHANICAL_TERMS[begun.term]}"
        return f"; {what} was another before {begun.since}"
    if not told:
        return ""
    eras = fitted.placed.era_of_setup
    first = fitted.placed.setups[int(np.flatnonzero(eras == eras[-1])[0])].night
    if setups < LEAST_TO_COMPARE:
        return f", from {counted(setups, 'set-up')} since {first}"
    return f", and no change of it is to be seen since {first}"


def _begun_by(fitted: Fitted) -> FoundChange | None:
    """The change that nobody wrote down with which the newest era begins."""
    since = fitted.placed.era_since[-1]
    return next((change for change in fitted.changes[::-1] if change.since == since), None)


def _people(fitted: Fitted, era: MechanicalFit) -> str:
    """How far from the pole half of its set-ups stood, and whether that is more than what is the mount's own."""
    eras = fitted.placed.era_of_setup
    newest = [setup for setup, its in zip(fitted.fit.setups, eras, strict=True) if its == eras[-1]]
    axes = [setup.separation for setup in newest if setup.separation.determined]
    if len(axes) < LEAST_AXES:
        return ""
    half = (
        "half of its set-ups" if len(axes) == len(newest) else f"half of the {len(axes)} set-ups that tell it"
    )
    altaz = fitted.placed.machine.mount_type is MountType.ALTAZ
    least, most = _middle(axes)
    if era.cone.determined and abs(era.cone.value) - SURE_SD * era.cone.sd > most:
        off = "the base leaned by" if altaz else "the polar axis was off by"
        return f"; in {half} {off} less, {_ceiling_words(most)} at most"
    if least < LEAST_SAID_ARCMIN:
        return ""
    stood = "its base leaned by" if altaz else "its polar axis was off by"
    said = f"; in {half} {stood} {_floor_words(least)} or more"
    own = [getattr(era, term) for term in MECHANICAL_TERMS]
    if all(term.determined and _most(term) < least for term in own):
        return f"{said}, more than any error of its own"
    return said


def _middle(axes: Sequence[Estimate]) -> tuple[float, float]:
    """Between what the middle one of these distances surely is.

    Distances differ more than they are unsure, so that the middle of an odd number is one of them and of an even number
    the mean of two, and no better known for all the others.
    """
    middle = float(np.median([_distance_itself(one) for one in axes]))
    sd = float(np.sqrt(np.mean([one.sd**2 for one in axes]) / (1.0 if len(axes) % 2 else 2.0)))
    return max(middle - SURE_SD * sd, 0.0), middle + SURE_SD * sd


def _distance_itself(separation: Estimate) -> float:
    """A distance without what its own uncertainty adds to it: an axis on the pole would seem some way from it."""
    return float(np.sqrt(max(separation.value**2 - separation.sd**2, 0.0)))


def _at_work(fitted: Fitted) -> str:
    """The first thing found at work that is not a change."""
    for finding in fitted.findings:
        if finding.kind is MisfitKind.SCATTER and finding.size_arcmin is not None:
            way = "grew" if finding.size_arcmin > 0 else "fell"
            when = "bit by bit since" if finding.bit_by_bit else "about"
            return f"; its scatter {way} by {arcmin_words(abs(finding.size_arcmin))} {when} {finding.since}"
        if finding.kind in AT_WORK:
            size = "" if finding.size_arcmin is None else arcmin_words(abs(finding.size_arcmin))
            return f"; {AT_WORK[finding.kind].format(size=size)}"
    return ""


def sources_sentence(shares: Mapping[str, Estimate], *, tubes_apart: bool = False) -> str:
    """What makes most of the difference between one set-up's landing error and another's.

    With `tubes_apart` a mount that had several tubes counts with each of them: what is its own may be its tube's.

    What overlaps the largest share, each with its standard deviation, is named with it; without any mount, person or
    site of which it is known what they do, nothing is. What the data say nothing of is no share of nothing: it is said
    so, of the night itself too.
    """
    makes = MAKES | ({"mount": WITH_ITS_TUBE} if tubes_apart else {})
    told = sorted((source for source in makes if source in shares), key=lambda one: -shares[one].value)
    known = [source for source in told if shares[source].determined and np.isfinite(shares[source].sd)]
    if known in ([], [REST]):
        return "What makes one set-up land farther off than another cannot be told yet."
    largest = shares[known[0]]
    leading = [one for one in known if _an_sd_away(shares[one], 1) >= _an_sd_away(largest, -1)]
    others = [one for one in known if one not in leading]
    unknown = [makes[source] for source in told if source not in known]
    mostly = "mostly" if len(leading) == 1 and _an_sd_away(largest, -1) >= MOST else "above all"
    said = f"What makes one set-up land farther off than another is {mostly} {_parts(leading, shares, makes)}"
    rest = f", then {_parts(others, shares, makes)}" if others else ""
    silent = f"; of {enumerated(unknown)} it cannot be told" if unknown else ""
    return f"{said}{rest}{silent}."


def _an_sd_away(share: Estimate, side: int) -> float:
    return share.value + side * (share.sd if np.isfinite(share.sd) else 0.0)


def _parts(sources: Sequence[str], shares: Mapping[str, Estimate], makes: Mapping[str, str]) -> str:
    return enumerated([f"{makes[source]} ({percent_words(shares[source].value)})" for source in sources])


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedMount:
    """A mount, the verdict on it, and its landing error divided by that of the first; None of that one itself."""

    mount: str
    verdict: Verdict
    ratio: Interval | None


def beside_sentence(mounts: Sequence[ComparedMount]) -> str:
    """Of two mounts and more: which land surely farther off than the first, or closer, and which of them change."""
    first, *others = mounts
    changing = _changing(mounts)
    if len(others) == 1:
        return f"{_one_beside(others[0], first.mount)}{changing}."
    farther = [one.mount for one in others if _is_more(one.ratio)]
    closer = [one.mount for one in others if _is_less(one.ratio)]
    return (
        f"Taken one by one, {_as_many(farther)} surely farther off than {first.mount}, and {_as_many(closer)} surely "
        f"closer{changing}."
    )


def _one_beside(other: ComparedMount, first: str) -> str:
    if other.ratio is None or other.ratio.is_open:
        return f"How {other.mount} lands beside {first} cannot be told"
    times = f"{other.mount} lands {other.ratio.value:{RATIO}} times as far off as {first}"
    return f"{times}, and that is hardly chance" if _is_sure(other.ratio) else f"{times}, which may be chance"


def _changing(mounts: Sequence[ComparedMount]) -> str:
    """Which of them get worse or better; `nothing` is not said of what has had too few nights."""
    said = [
        f"{enumerated(named)} {'is' if len(named) == 1 else 'are'} {verdict}"
        for verdict in (Verdict.WORSENING, Verdict.IMPROVING)
        if (named := [one.mount for one in mounts if one.verdict is verdict])
    ]
    return f"; {enumerated(said)}" if said else "; none of them is seen to change"


def _as_many(mounts: Sequence[str]) -> str:
    if not mounts:
        return "none lands"
    return f"{enumerated(mounts)} {'lands' if len(mounts) == 1 else 'land'}"


def _is_sure(ratio: Interval | None) -> bool:
    return _is_more(ratio) or _is_less(ratio)


def _is_more(ratio: Interval | None) -> bool:
    return ratio is not None and ratio.low is not None and ratio.low > 1.0


def _is_less(ratio: Interval | None) -> bool:
    return ratio is not None and ratio.high is not None and ratio.high < 1.0
