"""The club's routine as a whole: what a file says, what is in force, and what ships are records of one kind."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.routine.club_steps import SHIPPED_STEPS, StepEntry, steps_in_force
from obslog.club.routine.condition_words import SHIPPED_WORDS, MeantWord, words_in_force
from obslog.club.routine.loan_terms import Terms, terms_in_force
from obslog.club.routine.service_routine import RoutineTask, routine_in_force, shipped_tasks
from obslog.records.opening import Database

NO_TERMS = Terms()


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
