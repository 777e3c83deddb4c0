"""What the fit of a mount leaves out, a plain line each with its evidence: changes, readings, shifts."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from obslog.english import enumerated
from obslog.estimate_words import size_words
from obslog.pointing.joint_fit.words import ARCMIN
from obslog.pointing.misfit.found_changes import (
    FoundChange,
    chance_of_words,
    record_words,
    when_words,
)
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mistakes import MisfitKind

if TYPE_CHECKING:
    from obslog.pointing.misfit.columns import PossibleCause
    from obslog.pointing.misfit.examined import Examined
    from obslog.pointing.misfit.scatter_change import ScatterChange

SAID_FROM = 1.2
"""Set-ups that differ by less than this factor more than they should are widened for, without a word."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that the model leaves out; sizes in arcminutes, None where it is not a size; `since` of a change.

    `bit_by_bit` of a scatter that has gone steadily to what it is now: then `since` is the first night looked at.
    """

    kind: MisfitKind
    words: str
    size_arcmin: float | None
    sd_arcmin: float | None
    since: date | None
    bit_by_bit: bool = False


def findings_of(
    mount: str, setups: Sequence[SetupId], examined: "Examined", changes: Sequence[FoundChange]
) -> list[Finding]:
    """Of a mount: its changes, then what is at work, then what nothing explains."""
    found = [_change(mount, change) for change in changes]
    place = 0
    for cause, chance in examined.left_out.causes:
        found.append(_cause(examined, cause, chance, place))
        place += len(cause.columns)
    if examined.scatters is not None and examined.scatter_before is not None:
        now = examined.fit.mechanical[-1].noise
        found.append(_scatters(setups, examined.scatters, examined.scatter_before, now))
    if examined.left_out.scale >= SAID_FROM:
        found.append(_unexplained(examined.left_out.scale))
    return found


def _change(mount: str, change: FoundChange) -> Finding:
    how = "Was it knocked, or worked on? Record it"
    if not change.at_once:
        how = "It may have come bit by bit, as wear does; if it was worked on then, record it"
    elif not change.alone:
        how = "It may be one of many, as of a tube that is clamped anew each night; if it was worked on then, record it"
    words = (
        f"{change.words}, with no service on record then ({chance_of_words(change.chance)}). {how}: "
        f"{record_words(mount, change)}"
    )
    size = change.size_arcmin
    return Finding(
        kind=MisfitKind.CHANGE,
        words=words,
        size_arcmin=size.value,
        sd_arcmin=size.sd,
        since=change.since,
    )


def _cause(examined: "Examined", cause: "PossibleCause", chance: float, place: int) -> Finding:
    effects = examined.left_out.effects
    columns = slice(place, place + len(cause.columns))
    values, covariance = effects.values[columns], effects.covariance[columns, columns]
    size = float(np.hypot(*values)) if values.size == 2 else abs(float(values[0]))
    toward = values / max(size, 1e-9)
    sd = float(np.sqrt(toward @ covariance @ toward))
    said = size_words(Estimate(size, sd, 0, determined=True), ARCMIN)
    what = _CAUSES[cause.kind].format(size=said, way=_way_words(cause.kind, values), who=cause.who)
    in_all_looks = min(1.0, chance * examined.left_out.looks)
    words = f"{what} ({chance_of_words(in_all_looks)})"
    return Finding(kind=cause.kind, words=words, size_arcmin=size, sd_arcmin=sd, since=None)


_CAUSES = {
    MisfitKind.SIDE_OF_PIER: (
        "with the tube west of the pier stars stand {size} further {way} than with it east: something shifts at the "
        "flip (a mirror, slack in the declination axis). Its east-west part moves stars just as cone error does: "
        "nobody can tell the two apart, and what is stated as cone error may be that"
    ),
    MisfitKind.OBSERVER: "{who} reads stars {size} further {way} than the rest do",
    MisfitKind.DIRECTION: (
        "stars stand {size} to one side or to the other, after the side from which the mount came (twice that lies "
        "between the two): slack in the gears; end each go-to, and each centring, with the same keys"
    ),
    MisfitKind.ALTITUDE: (
        "low stars stand {size} {way} at 45° than sag explains: look whether the controller corrects for refraction "
        "(obslog mount edit --refraction)"
    ),
    MisfitKind.TEMPERATURE: "the tube sags by {size} {way} for each 10 °C that the air is warmer",
}
_UP_AND_DOWN = {MisfitKind.ALTITUDE: ("higher", "lower"), MisfitKind.TEMPERATURE: ("more", "less")}
"""Where a star that stands above the field centre counts as +: the tube points too low for it."""


def _scatters(setups: Sequence[SetupId], change: "ScatterChange", before: Estimate, now: Estimate) -> Finding:
    """A day is named only where a step explains it better than a steady growth does."""
    course, since = change.course, setups[change.setup].night
    if course.bit_by_bit:
        before, now, since = course.first, course.last, setups[change.first].night
    grew, sizes = now.value > before.value, f"from {size_words(before, ARCMIN)} to {size_words(now, ARCMIN)}"
    chance = chance_of_words(change.chance)
    between = when_words(setups[change.before].night, setups[change.setup].night)
    if course.bit_by_bit:
        said = f"{'grew' if grew else 'fell'} bit by bit {sizes} since {since} ({chance})"
    elif course.at_once:
        said = f"{'grew' if grew else 'fell'} {sizes} {between} ({chance})"
    else:
        said = f"{'grew' if grew else 'fell'} {sizes} {between}, or bit by bit about then ({chance})"
    what = (
        "look for slack in the gears and clutches, and whether offsets are read in another way"
        if grew
        else "was it worked on, or are offsets read in another way?"
    )
    return Finding(
        kind=MisfitKind.SCATTER,
        words=f"scatter of arrivals per axis {said}: {what}",
        size_arcmin=now.value - before.value,
        sd_arcmin=float(np.hypot(now.sd, before.sd)),
        since=since,
        bit_by_bit=course.bit_by_bit,
    )


def _unexplained(scale: float) -> Finding:
    words = (
        f"set-ups differ {scale:.1f} times as much as their own arrivals explain; all uncertainties here are widened "
        "by that"
    )
    return Finding(kind=MisfitKind.MISFIT, words=words, size_arcmin=None, sd_arcmin=None, since=None)


def _way_words(kind: MisfitKind, values: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> str:
    """To which side; of two the lesser only where it is a good part of the other."""
    if kind in _UP_AND_DOWN:
        return _UP_AND_DOWN[kind][int(values[0] < 0)]
    east, north = values
    ways = ("east" if east >= 0 else "west", abs(east)), ("north" if north >= 0 else "south", abs(north))
    longest = max(size for _, size in ways)
    return enumerated([way for way, size in sorted(ways, key=lambda one: -one[1]) if size > 0.4 * longest])
