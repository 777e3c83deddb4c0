"""The club's routine as a whole, and what ships."""

from datetime import datetime

from obslog.club.register.rule_book import set_rule
from obslog.club.routine.club_routine import shipped_routine
from obslog.records.database import Database
from obslog.vocabulary.steps import Step
from obslog.vocabulary.storeroom import Condition
from tests.club.routine.in_force import routine_now


def test_without_a_file_what_ships_is_in_force_with_the_rule_for_days(club: Database, now: datetime) -> None:
    set_rule(club, "loan-days", 35, now)
    found = routine_now(club)
    assert [entry.step for entry in found.steps] == list(Step)
    assert [one.word for one in found.words] == list(Condition)
    assert (found.tasks, found.terms) == (shipped_routine().tasks, shipped_routine().terms)
    assert (found.loan_days, shipped_routine().loan_days) == (35, None)
