"""The club's routine as a whole: what a file says, what is in force, and what ships are records of one kind."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.routine.club_steps import SHIPPED_STEPS, StepEntry, Steps, steps_in_force
from obslog.club.routine.condition_words import MEANINGS, SHIPPED_WORDS, MeantWord, words_in_force
from obslog.club.routine.loan_terms import Terms, terms_in_force
from obslog.club.routine.service_routine import RoutineTask, routine_in_force, shipped_tasks
from obslog.records.database import Database
from obslog.records.history.acts import not_derived, that_hold
from obslog.records.tables.logbook import Act, Change, ChangeBatch
from obslog.records.tables.logbook_tables import ClubStep
from obslog.records.tables.officer import ClubTask, ConditionWord, LoanTerms
from obslog.vocabulary.steps import StepKey

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
class RoutineStanding:
    """Which parts of the routine are the club's own, as its file calls them; since when, and who loaded the file.

    Without a part of its own there is nobody to name; `loaded_by` is None too where it is not on record who it was.
    """

    own: list[str]
    loaded_utc: datetime | None
    loaded_by: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutineShown(RoutineStanding):
    """The routine in force, with what of it is the club's own."""

    steps: list[StepShown]
    conditions: list[WordShown]
    loan_days: int
    renewals: int | None
    agrees: list[str]
    tasks: list[RoutineTask]


def standing_words(standing: RoutineStanding) -> str:
    """What of the routine is the club's own, since when, and who loaded it."""
    if not standing.own:
        return "Steps, services, conditions and loan terms are as they ship."
    since = f" since {standing.loaded_utc:%Y-%m-%d}" if standing.loaded_utc else ""
    by = f", loaded by {standing.loaded_by}" if standing.loaded_by else "; who loaded it is not on record"
    own = ", ".join(PART_WORDS[part] for part in standing.own)
    return f"The club has its own: {own}. It is in force{since}{by}."


def routine_standing(database: Database) -> RoutineStanding:
    """Since when the routine is as it is, by the history: it was loaded last by an act that still holds."""
    with database.read() as session:
        return _standing(session, club_routine(session))


def _standing(session: Session, found: ClubRoutine) -> RoutineStanding:
    shipped = shipped_routine()
    parts = {
        "checklist": found.steps != shipped.steps,
        "conditions": found.words != shipped.words,
        "loan": found.terms != shipped.terms,
        "task": found.tasks != shipped.tasks,
    }
    own = [part for part, is_own in parts.items() if is_own]
    act = _last_loading(session) if own else None
    return RoutineStanding(
        own=own, loaded_utc=act.at_utc if act else None, loaded_by=act.who if act else None
    )


def _last_loading(session: Session) -> Act | None:
    kinds = [table.__name__ for table in (ClubStep, ClubTask, ConditionWord, LoanTerms)]
    changed = select(Change.act_id).where(Change.record_kind.in_(kinds))
    among_many = select(ChangeBatch.act_id).where(ChangeBatch.record_kind.in_(kinds))
    return session.scalar(
        select(Act)
        .where(or_(Act.id.in_(changed), Act.id.in_(among_many)), not_derived(), *that_hold())
        .order_by(Act.id.desc())
        .limit(1)
    )


def routine_shown(database: Database) -> RoutineShown:
    """The routine in force, to be shown."""
    with database.read() as session:
        found = club_routine(session)
        standing = _standing(session, found)
    steps, says = Steps(found.steps), {means: word for word, means in MEANINGS.items()}
    return RoutineShown(
        own=standing.own,
        loaded_utc=standing.loaded_utc,
        loaded_by=standing.loaded_by,
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
