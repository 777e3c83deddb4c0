"""The club's routine as a whole: what a file says, what is in force, and what ships are records of one kind."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.routine.club_steps import SHIPPED_STEPS, StepEntry, Steps, steps_in_force
from obslog.club.routine.condition_words import MEANINGS, SHIPPED_WORDS, MeantWord, words_in_force
from obslog.club.routine.loan_terms import Terms, terms_in_force
from obslog.club.routine.service_routine import RoutineTask, routine_in_force, shipped_tasks
from obslog.records.opening import Database
from obslog.vocabulary import StepKey

NO_TERMS = Terms()
PART_WORDS = {
    "checklist": "the checklist",
    "conditions": "the words for conditions",
    "loan": "the loan terms",
    "task": "the service routine",
}
"""The parts of a routine, as its file calls them, in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubRoutine:
    """Steps in order, those left out last; service tasks; words for conditions; loan terms.

    `loan_days` is the rule loan-days; None, in a file, leaves that as it is.
    """

    steps: tuple[StepEntry, ...] = SHIPPED_STEPS
    tasks: tuple[RoutineTask, ...]
    words: tuple[MeantWord, ...] = SHIPPED_WORDS
    terms: Terms = NO_TERMS
    loan_days: int | None = None


def shipped_routine() -> ClubRoutine:
    """What holds where a club has no file."""
    return ClubRoutine(tasks=shipped_tasks())


def club_routine(session: Session) -> ClubRoutine:
    """What is in force."""
    return ClubRoutine(
        steps=steps_in_force(session).entries,
        tasks=routine_in_force(session).tasks,
        words=words_in_force(session).words,
        terms=terms_in_force(session),
        loan_days=int(rules_in_force(session)["loan-days"]),
    )


def read_club_routine(database: Database) -> ClubRoutine:
    """What is in force, in a session of its own."""
    with database.read() as session:
        return club_routine(session)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepShown:
    """A step at its place; of one that is left out the place is None. `own` where the club added it or its words."""

    place: int | None
    step: StepKey
    title: str
    own: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WordShown:
    """A word for a condition, and what it means: sound, worn, broken or missing."""

    word: str
    means: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutineShown:
    """The routine in force; `own` names the parts that the club has made its own, as its file calls them."""

    own: list[str]
    steps: list[StepShown]
    conditions: list[WordShown]
    loan_days: int
    renewals: int | None
    agrees: list[str]
    tasks: list[RoutineTask]


def routine_shown(database: Database) -> RoutineShown:
    """The routine in force, to be shown."""
    found, shipped = read_club_routine(database), shipped_routine()
    steps, says = Steps(found.steps), {means: word for word, means in MEANINGS.items()}
    parts = {
        "checklist": found.steps != shipped.steps,
        "conditions": found.words != shipped.words,
        "loan": found.terms != shipped.terms,
        "task": found.tasks != shipped.tasks,
    }
    return RoutineShown(
        own=[part for part, is_own in parts.items() if is_own],
        steps=[
            StepShown(
                place=None if entry.left_out else place,
                step=entry.step,
                title=steps.title(entry.step),
                own=StepEntry(step=entry.step, left_out=entry.left_out) != entry,
            )
            for place, entry in enumerate(found.steps, 1)
        ],
        conditions=[WordShown(word=one.word, means=says[one.means]) for one in found.words],
        loan_days=found.loan_days or 0,
        renewals=found.terms.renewals,
        agrees=list(found.terms.statements),
        tasks=list(found.tasks),
    )
