"""Loading the club's file: as one act, taken back by one undo, on either database."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from sqlalchemy import select

from obslog.club.privacy.leaving_members import leave
from obslog.club.register.named_records import add
from obslog.club.register.rule_book import list_rules, set_rule
from obslog.club.register.undo import redo, undo
from obslog.club.routine.club_routine import (
    ClubRoutine,
    RoutineStanding,
    routine_shown,
    routine_standing,
    shipped_routine,
    standing_words,
)
from obslog.club.routine.routine_changes import RowChange
from obslog.club.routine.routine_loading import RoutineRefused, load_routine, look_at_routine
from obslog.club.routine.routine_writing import written
from obslog.records.database import Database
from obslog.records.history.author import Author
from obslog.records.tables.base import Base
from obslog.records.tables.logbook_tables import Act, ClubStep
from obslog.records.tables.officer import ClubTask, ConditionWord, LoanTerms
from tests.club.routine.in_force import routine_now
from tests.club.routine.routines import routines
from tests.club.routine.test_routine_file import WHOLE

TABLES: tuple[type[Base], ...] = (ClubStep, ClubTask, ConditionWord, LoanTerms)


def rows(database: Database) -> dict[str, int]:
    with database.read() as session:
        return {table.__tablename__: len(session.scalars(select(table)).all()) for table in TABLES}


def writing_as(database: Database, name: str) -> Database:
    return replace(database, find_author=lambda: Author(name, None))


def acts(database: Database) -> list[str]:
    with database.read() as session:
        return list(session.scalars(select(Act.sentence).order_by(Act.id)))


def test_a_file_is_loaded_as_one_act_and_one_undo_takes_it_back(club: Database, now: datetime) -> None:
    before, known = routine_now(club), acts(club)
    looked = look_at_routine(club, WHOLE, "routine.toml")
    assert routine_now(club) == before
    loaded = load_routine(club, WHOLE, "routine.toml", now)
    assert (loaded.changes, looked.loaded, loaded.loaded) == (looked.changes, False, True)
    assert acts(club) == [*known, "load the routine of the club"]
    after = routine_now(club)
    assert after.loan_days == 21
    assert after.terms.renewals == 2
    assert [task.task for task in after.tasks] == ["regrease", "air"]
    assert rows(club) == {"club_steps": 18, "club_tasks": 2, "condition_words": 3, "loan_terms": 1}
    assert undo(club, now) == "load the routine of the club"
    assert routine_now(club) == before
    assert set(rows(club).values()) == {0}
    redo(club, now)
    assert routine_now(club) == after


def test_loaded_twice_nothing_more_is_changed(club: Database, now: datetime) -> None:
    load_routine(club, WHOLE, "routine.toml", now)
    known = acts(club)
    assert load_routine(club, WHOLE, "routine.toml", now).changes == []
    assert load_routine(club, written(routine_now(club)), "again.toml", now).changes == []
    assert acts(club) == known


def test_another_file_takes_the_place_of_the_first_and_undo_brings_that_back(
    club: Database, now: datetime
) -> None:
    load_routine(club, WHOLE, "routine.toml", now)
    first = routine_now(club)
    load_routine(club, '[checklist]\nsteps = ["level", "pack"]\n', "second.toml", now)
    assert [one.step for one in routine_now(club).steps if not one.left_out] == ["level", "pack"]
    assert rows(club) == {"club_steps": 17, "club_tasks": 0, "condition_words": 0, "loan_terms": 0}
    undo(club, now)
    assert routine_now(club) == first


def test_with_any_fault_nothing_is_changed(club: Database, now: datetime) -> None:
    text = WHOLE.replace("days = 21", "days = 0").replace("every_nights = 30", 'every_nights = "30"')
    with pytest.raises(RoutineRefused) as refused:
        load_routine(club, text, "routine.toml", now)
    assert refused.value.message == "routine.toml has 2 faults, so nothing was changed."
    assert [detail.split(":")[0] for detail in refused.value.details] == ["line 15", "line 22"]
    looked = look_at_routine(club, text, "routine.toml")
    assert (looked.changes, len(looked.faults)) == ([], 2)
    assert set(rows(club).values()) == {0}


def test_the_days_of_a_loan_are_the_rule(club: Database, now: datetime) -> None:
    load_routine(club, "[loan]\ndays = 42\n", "routine.toml", now)
    assert {rule.name: rule.value for rule in list_rules(club)}["loan-days"] == 42
    set_rule(club, "loan-days", 14, now)
    assert routine_now(club).loan_days == 14
    assert load_routine(club, "", "empty.toml", now).changes == []  # the file leaves it
    (change,) = load_routine(club, "[loan]\ndays = 28\n", "routine.toml", now).changes
    assert (change.change, change.was, change.becomes) == (RowChange.CHANGED, "14 days", "28 days")
    assert not next(rule.own for rule in list_rules(club) if rule.name == "loan-days")


@given(first=routines, second=routines)
@settings(
    max_examples=15,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    deadline=None,
)
def test_whatever_is_loaded_is_in_force_and_written_out_again(
    sqlite_database: Database, now: datetime, first: ClubRoutine, second: ClubRoutine
) -> None:
    for routine in (first, second):
        load_routine(sqlite_database, written(routine), "routine.toml", now)
        assert routine_now(sqlite_database) == routine
        assert written(routine_now(sqlite_database)) == written(routine)


def test_what_ships_loaded_leaves_no_row(club: Database, now: datetime) -> None:
    assert load_routine(club, written(shipped_routine()), "routine.toml", now).changes == []
    assert set(rows(club).values()) == {0}


def test_a_member_whose_name_is_the_word_of_a_step_can_leave(club: Database, now: datetime) -> None:
    """A name is taken out of what is said of a step, and never out of the word by which the step is known."""
    add(club, "member", "Level", {}, now)
    said = 'steps = ["pack", "level"]\n[step.level]\ndo = "As Level showed us."\n[[task]]\nof = "level"\ntask = "x"\n'
    load_routine(club, f'[checklist]\n{said}do = "y"\nwhen = "z"\n', "routine.toml", now)
    leave(club, "Level", now)
    found = routine_now(club)
    assert [entry.step for entry in found.steps if not entry.left_out] == ["pack", "level"]
    assert "Level" not in (found.steps[1].do or "")
    assert found.tasks[0].of == "level"


def test_since_when_the_routine_holds_and_who_loaded_it(club: Database, now: datetime) -> None:
    nothing = RoutineStanding(own=[], loaded_utc=None, loaded_by=None)
    assert routine_standing(club) == nothing
    ines, bram = (writing_as(club, name) for name in ("Ines", "Bram"))
    earlier = now - timedelta(days=400)
    load_routine(ines, WHOLE, "routine.toml", earlier)
    first = routine_standing(club)
    assert (first.loaded_utc, first.loaded_by) == (earlier, "Ines")
    shown = routine_shown(club)
    assert (shown.own, shown.loaded_utc, shown.loaded_by) == (first.own, earlier, "Ines")
    assert standing_words(shown).endswith(f"It is in force since {earlier:%Y-%m-%d}, loaded by Ines.")
    load_routine(bram, '[conditions]\nfine = "sound"\ngone = "missing"\n', "other.toml", now)
    assert routine_standing(club) == RoutineStanding(own=["conditions"], loaded_utc=now, loaded_by="Bram")
    undo(club, now)
    assert routine_standing(club) == first
    load_routine(bram, "", "empty.toml", now)
    assert routine_standing(club) == nothing
