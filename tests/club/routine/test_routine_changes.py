"""What a file would change, row by row, told by hand for each kind of row."""

from dataclasses import replace

from obslog.club.routine.club_routine import ClubRoutine, shipped_routine
from obslog.club.routine.club_steps import SHIPPED_STEPS, StepEntry
from obslog.club.routine.condition_words import MeantWord
from obslog.club.routine.loan_terms import Terms
from obslog.club.routine.routine_changes import RowChange, StepsOnRecord, changes
from obslog.vocabulary.storeroom import Condition

NOTHING = StepsOnRecord({}, {})
OWN = StepEntry(step="dew", title="Dew", do="Pull.", tolerance="dry", why="dark")
BEFORE = replace(shipped_routine(), loan_days=28)
Told = list[tuple[str, str, RowChange, str | None, str | None]]


def told(after: ClubRoutine, before: ClubRoutine = BEFORE, on_record: StepsOnRecord = NOTHING) -> Told:
    found = changes(before, after, on_record)
    return [(one.part, one.name, one.change, one.was, one.becomes) for one in found]


def test_nothing_differs_from_itself_nor_from_a_file_that_leaves_the_days() -> None:
    assert told(BEFORE) == []
    assert told(replace(BEFORE, loan_days=None)) == []


def test_a_step_of_the_clubs_own_comes_and_goes() -> None:
    with_own = replace(BEFORE, steps=(SHIPPED_STEPS[0], OWN, *SHIPPED_STEPS[1:]))
    words = "Dew; Pull; tolerance: dry; why: dark"
    assert told(with_own) == [("checklist", "dew", RowChange.NEW, None, f"step 2: {words}")]
    evidence = StepsOnRecord({"dew": 2}, {"dew": 1})
    assert told(BEFORE, with_own, evidence) == [
        ("checklist", "dew", RowChange.TAKEN_AWAY, words, "2 snags and 1 tick on record still count")
    ]


def test_a_step_is_left_out_put_back_moved_or_said_otherwise() -> None:
    pack, ground, level, *rest = SHIPPED_STEPS
    left_out = replace(BEFORE, steps=(pack, level, *rest, replace(ground, left_out=True)))
    assert told(left_out, on_record=StepsOnRecord({"ground": 1}, {})) == [
        ("checklist", "ground", RowChange.LEFT_OUT, "step 2", "1 snag on record still counts")
    ]
    assert told(BEFORE, left_out) == [("checklist", "ground", RowChange.PUT_BACK, "left out", "step 2")]
    moved = replace(BEFORE, steps=(ground, level, *rest, pack))
    assert told(moved) == [("checklist", "pack", RowChange.MOVED, "step 1", "step 17")]
    said = replace(BEFORE, steps=(replace(pack, title="Load the van"), ground, level, *rest))
    assert told(said) == [("checklist", "pack", RowChange.CHANGED, "as it ships", "Load the van")]


def test_words_terms_and_tasks() -> None:
    words = (*BEFORE.words, MeantWord("scuffed", Condition.WORN))
    assert told(replace(BEFORE, words=words)) == [("conditions", "scuffed", RowChange.NEW, None, "worn")]
    terms = Terms(("I bring cake.",), 2)
    assert told(replace(BEFORE, terms=terms, loan_days=1)) == [
        ("loan", "days", RowChange.CHANGED, "28 days", "1 day"),
        ("loan", "renewals", RowChange.CHANGED, "as often as asked", "2 times"),
        ("loan", "agrees", RowChange.CHANGED, " ".join(BEFORE.terms.statements), "I bring cake."),
    ]
    first, second, *rest = BEFORE.tasks
    tasks = (replace(first, every_months=6), second, *rest[1:])
    changed, taken_away = told(replace(BEFORE, tasks=tasks))
    assert changed == ("task", "mount, grease", RowChange.CHANGED, "every 12 months", "every 6 months")
    assert taken_away[:3] == ("task", f"{rest[0].of}, {rest[0].task}", RowChange.TAKEN_AWAY)
