"""What to do next about a mount: at most three things, each with its reason, from all that is known of it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from obslog.club.checklist.look_first import LookFirst
from obslog.club.landing.error_budget import CauseLine, MountBudget, worth_mending
from obslog.club.pages.step_snags import StepSnags
from obslog.club.review.review import Reviewed
from obslog.club.review.verdicts import Status, gravest_words
from obslog.english import capitalised, counted
from obslog.estimate_words import arcmin_words

MOST = 3
OFTEN = 2
"""So many snags at one step that nobody has mended are worth a word."""
WHAT_TO_DO = {Status.SERVICE: "Have it serviced", Status.WATCH: "Watch it on the next nights"}


@dataclass(frozen=True, slots=True)
class NextStep:
    what: str
    why: str


def next_steps(
    reviewed: Reviewed,
    budget: MountBudget | None,
    look_first: Sequence[LookFirst],
    snags: Sequence[StepSnags],
) -> list[NextStep]:
    """First the review's verdict, the remedy that gains most and the step to look at first; then what else there is.

    Nobody is asked to do anything about a mount that is retired.
    """
    if reviewed.status is Status.RETIRED:
        return []
    sources = [_of_review(reviewed), _of_budget(budget), _of_steps(look_first), _of_snags(snags)]
    first = [step for source in sources[:MOST] for step in islice(source, 1)]
    rest = [step for source in (sources[3], *sources[:MOST]) for step in islice(source, 1)]
    return [*first, *rest][:MOST]


def _of_review(reviewed: Reviewed) -> Iterator[NextStep]:
    """Each kind of verdict once: one service does for all reasons that ask for one."""
    for status, what in WHAT_TO_DO.items():
        reasons = [reason for reason in reviewed.reasons if reason.status is status]
        if reasons:
            yield NextStep(what, gravest_words(reasons))


def _of_budget(budget: MountBudget | None) -> Iterator[NextStep]:
    if budget is not None:
        for cause in worth_mending(budget):
            yield NextStep(capitalised(cause.remedy), _gain_words(cause, budget))


def _gain_words(cause: CauseLine, budget: MountBudget) -> str:
    without, now = arcmin_words(cause.half_without_arcmin.value), arcmin_words(budget.half_arcmin.value)
    return f"without {_inside(cause.cause)} half of its go-tos would land within {without} instead of {now}"


def _inside(cause: str) -> str:
    return "errors of the polar axis" if cause == "polar axis" else cause


def _of_steps(look_first: Sequence[LookFirst]) -> Iterator[NextStep]:
    for one in look_first:
        yield NextStep(f"Look first at: {one.title}", one.evidence)


def _of_snags(snags: Sequence[StepSnags]) -> Iterator[NextStep]:
    for one in sorted(snags, key=lambda snags: -snags.not_mended):
        if one.not_mended >= OFTEN:
            open_ones = counted(one.not_mended, "snag")
            yield NextStep(
                f"Mend what is open at: {one.title}", f"{open_ones} not mended; the newest: {one.last_text}"
            )
