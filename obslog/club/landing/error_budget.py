"""The error budget of a mount on record, with the sentence that says it first."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.club.performance.placed_arrivals import PlacedArrivals
from obslog.english import counted, enumerated
from obslog.estimate_words import percent_words, radius_words
from obslog.pointing.budget.budget import Budget, Part, budget
from obslog.pointing.budget.causes import BudgetCause, remedy_words
from obslog.pointing.misfit.examined import Examined, examine
from obslog.records.database import Database
from obslog.records.kept_results import Result
from obslog.values import Interval
from obslog.vocabulary.mounts import MountType

BUDGET = "error budget"
MOST, LARGE, LITTLE = 0.5, 0.2, 0.05
"""Of the mean square: what most of it is, what is still a large part, and what adds little."""
FEW_SETUPS = 4
PHRASES = {
    BudgetCause.POLAR: "the polar axis as people set it",
    BudgetCause.BASE: "the lean of the base as people set it up",
    BudgetCause.CENTRING: "how the stars of syncs were centred",
    BudgetCause.SCATTER: "scatter that nothing on record explains",
}
IN_WORDS: dict[str, str] = {
    BudgetCause.POLAR: "the polar axis",
    BudgetCause.BASE: "the lean of the base",
    BudgetCause.FLIP: "the jump at the flip",
    BudgetCause.CENTRING: "the centring of the syncs",
}
ADDS_LITTLE = {
    BudgetCause.POLAR: "how people set the polar axis",
    BudgetCause.BASE: "how people level it",
    BudgetCause.CONE: "cone error",
    BudgetCause.SLACK: "slack",
    BudgetCause.FLIP: "the jump at the flip",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseLine:
    """What a cause adds, arcminutes; the radius in which half would land without it; and what would remove it.

    The squares of what the causes add make up the square of `rms_arcmin`. `share` is of that square.
    """

    cause: str
    adds_arcmin: Interval
    share: float
    half_without_arcmin: Interval
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MountBudget:
    """The budget of a mount with a tube since a day, in words and in numbers; causes with the largest gain first."""

    mount: str
    tube: str | None
    since: date
    setups: int
    go_tos: int
    half_arcmin: Interval
    rms_arcmin: float
    causes: list[CauseLine]
    words: list[str]


def error_budget(records: Database | MountFits, mount_name: str, tube_name: str | None = None) -> MountBudget:
    """The budget of a mount as it is since its last mechanical service or change, kept until anything of it changes.

    Raises UnknownName, MountTypeUnknown, NoController, NothingPlaced, NothingMeasured, NothingVisited.
    """
    with fits_from(records) as fits:
        snapshot = fits.snapshot
        mount, tube = snapshot.mount_named(mount_name), snapshot.tube_named(tube_name) if tube_name else None
        fits.machine_of(mount_name)
        return snapshot.kept.get(
            Result.of_mount(BUDGET, mount, tube or ""),
            [mount],
            MountBudget,
            lambda: _made(fits, mount, tube),
            basis=[snapshot.mounts[mount].name, *([snapshot.tubes[tube]] if tube else [])],
        )


def examined_of(placed: PlacedArrivals) -> Examined:
    """The fit of placed arrivals with all that the budget draws from. Raises NothingMeasured."""
    return examine(placed.machine, placed.arrivals, placed.era_of_setup, placed.circumstances)


def lines_of(found: Budget, mount_type: MountType) -> list[CauseLine]:
    """The causes of a budget, those first without which most is gained."""
    return [_line(part, found.mean_square, mount_type) for part in found.parts]


def worth_mending(found: MountBudget) -> list[CauseLine]:
    """The causes whose remedy is told, those first without which most is gained; none of few set-ups.

    They surely add something: without a cause that may add nothing, half can land nearer by chance alone.
    """
    return [] if found.setups < FEW_SETUPS else _worth_mending(found.causes, found.half_arcmin)


def _worth_mending(lines: list[CauseLine], half: Interval) -> list[CauseLine]:
    within = (1.0 - LITTLE) * half.value
    sure = [line for line in lines if line.adds_arcmin.low is not None and line.adds_arcmin.low > 0.0]
    return [line for line in sure if line.half_without_arcmin.value < within]


def _made(fits: MountFits, mount: UUID, tube: UUID | None) -> MountBudget:
    placed = fits.placed(mount, tube)
    examined = examined_of(placed)
    found = budget(placed.machine, placed.arrivals, examined)
    placed = placed.with_eras(examined.left_out.eras)
    lines = lines_of(found, placed.machine.mount_type)
    return MountBudget(
        mount=placed.mount,
        tube=placed.tube,
        since=placed.era_since[-1],
        setups=found.setups,
        go_tos=found.half_arcmin.count,
        half_arcmin=found.half_arcmin,
        rms_arcmin=float(np.sqrt(found.mean_square)),
        causes=lines,
        words=[*_words(placed, found, lines), *_caution(placed)],
    )


def _line(part: Part, mean_square: float, mount_type: MountType) -> CauseLine:
    return CauseLine(
        cause=part.named.words,
        adds_arcmin=part.adds_arcmin,
        share=part.mean_square.value / mean_square,
        half_without_arcmin=part.half_without_arcmin,
        remedy=remedy_words(part.named.cause, mount_type),
    )


def _words(placed: PlacedArrivals, found: Budget, lines: list[CauseLine]) -> list[str]:
    """The sentence that a member understands, and what to do first; of few set-ups that they are too few for either."""
    half = radius_words(found.half_arcmin)
    since = placed.era_since[-1]
    tube = f" with {placed.tube or 'no tube on record'}" if placed.others else ""
    if found.setups < FEW_SETUPS:
        go_tos = counted(found.half_arcmin.count, "go-to")
        few = f"{go_tos} in {counted(found.setups, 'set-up')}"
        return [
            f"What adds most to {placed.mount}'s landing errors cannot be told yet from {few}: it takes {FEW_SETUPS} "
            f"set-ups. Since {since} half{tube} landed within {half}."
        ]
    said = [f"Since {since} half of {placed.mount}'s go-tos{tube} land within {half}. {mostly_words(found)}"]
    for first in _worth_mending(lines, found.half_arcmin)[:1]:
        within = radius_words(first.half_without_arcmin)
        where = IN_WORDS.get(first.cause, first.cause)
        said.append(
            f"The largest gain is in {where}: with none of that half would land within {within}. "
            f"What helps: {first.remedy}."
        )
    return said


def mostly_words(found: Budget) -> str:
    """What most of it is, and what adds little though people would suspect it."""
    by_size = sorted(found.parts, key=lambda part: -part.mean_square.value)
    share = {part.named: part.mean_square.value / found.mean_square for part in found.parts}
    largest = by_size[0].named
    if share[largest] >= MOST:
        mostly = f"Most of it is {_phrase(by_size[0])} ({percent_words(share[largest])})"
    else:
        large = [part for part in by_size[:3] if share[part.named] >= LARGE] or by_size[:1]
        named = [f"{_phrase(part)} ({percent_words(share[part.named])})" for part in large]
        mostly = f"Its largest {'parts are' if len(named) > 1 else 'part is'} {enumerated(named)}"
    little = [
        ADDS_LITTLE[part.named.cause]
        for part in sorted(found.parts, key=lambda part: list(BudgetCause).index(part.named.cause))
        if part.named.cause in ADDS_LITTLE and share[part.named] < LITTLE
    ][:2]
    adds = "add" if len(little) > 1 else "adds"
    return f"{mostly}; {enumerated(little)} {adds} little." if little else f"{mostly}."


def _phrase(part: Part) -> str:
    return PHRASES.get(part.named.cause, part.named.words)


def _caution(placed: PlacedArrivals) -> list[str]:
    if not placed.serviced_since:
        return []
    return [f"Serviced on {placed.serviced_since}, after all of these set-ups: this may no longer hold."]
