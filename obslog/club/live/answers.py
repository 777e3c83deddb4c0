"""An answer given at once: what it is about, its words, and when it has changed enough to be given again."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum


class LiveKind(StrEnum):
    """What an answer is about, in the order in which answers are given."""

    SUN = "sun"
    FIRST_STAR = "first-star"
    MISFIT = "misfit"
    AXIS = "axis"
    MECHANICS = "mechanics"
    LOOK_FIRST = "look-first"
    NEXT_STAR = "next-star"
    LANDING = "landing"


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveAnswer:
    """One answer in words of a line or two.

    `about` says what of its kind it is about: a direction, an arrival's key, a star. `size_arcmin` is the number in it
    that may change, and within `steady_arcmin` it counts as the same. `sd_arcmin` and `probability` say how sure it is,
    None where that is no number. `mend` are commands, without the name of the program, one of which puts it right.
    """

    kind: LiveKind
    words: str
    about: str = ""
    size_arcmin: float | None = None
    sd_arcmin: float | None = None
    steady_arcmin: float = 0.0
    probability: float | None = None
    mend: tuple[str, ...] = ()

    @property
    def is_caution(self) -> bool:
        """Whether it is given even where answers are silenced."""
        return self.kind is LiveKind.SUN


def what_is_new(before: Sequence[LiveAnswer], after: Sequence[LiveAnswer]) -> list[LiveAnswer]:
    """The answers that were not given before, or have changed since they were last given."""
    last = {(answer.kind, answer.about): answer for answer in before}
    return [answer for answer in after if not _same(last.get((answer.kind, answer.about)), answer)]


def in_order(answers: Sequence[LiveAnswer]) -> list[LiveAnswer]:
    """The answers in the order of their kinds."""
    order = list(LiveKind)
    return sorted(answers, key=lambda answer: order.index(answer.kind))


def _same(given: LiveAnswer | None, now: LiveAnswer) -> bool:
    if given is None:
        return False
    if given.size_arcmin is None or now.size_arcmin is None:
        return given.size_arcmin is now.size_arcmin
    return abs(now.size_arcmin - given.size_arcmin) <= max(given.steady_arcmin, now.steady_arcmin)
