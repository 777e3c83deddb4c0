"""Names by their beginnings, and several names behind one another."""

import pytest
from sqlalchemy import text

from obslog.club.evening.names_typed import NoBattery, OneTooMany, battery_meant, names_in, step_meant
from obslog.club.routine.club_steps import StepEntry, Steps
from obslog.errors import UnknownName
from obslog.grammar.name_choice import SeveralNamesFit
from obslog.records.database import Database
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step
from tests.club.evening.typing import NOW


@pytest.mark.parametrize("step", Step)
def test_every_step_by_its_own_name(step: Step) -> None:
    assert step_meant(step.upper(), MountType.GERMAN, Steps()) == step


@pytest.mark.parametrize(
    ("typed", "step"),
    [("axis", Step.POLAR_AXIS), ("key", Step.KEY_IN), ("batt", Step.POWER), ("clamp", None), ("c", None)],
)
def test_a_step_by_a_beginning_that_only_one_has(typed: str, step: Step | None) -> None:
    if step is not None:
        assert step_meant(typed, MountType.GERMAN, Steps()) == step
        return
    with pytest.raises((UnknownName, SeveralNamesFit)):
        step_meant(typed, MountType.GERMAN, Steps())


def test_a_step_of_the_clubs_own_by_a_word_of_its_name_or_of_its_title() -> None:
    steps = Steps(
        [
            StepEntry(step="dew-heaters", title="Unplug the warm bands", do="Pull them."),
            StepEntry(step="pack"),
        ]
    )
    for typed in ("dew-heaters", "DEW", "heat", "bands"):
        assert step_meant(typed, MountType.GERMAN, steps) == "dew-heaters"
    with pytest.raises(UnknownName):
        step_meant("axis", MountType.GERMAN, steps)


def test_names_behind_one_another_are_told_apart(club: Database) -> None:
    kinds = ("mount", "tube", "eyepiece", "member")
    assert names_in(club, ["heron", "long", "tube", "wide", "ines"], kinds) == {
        "mount": ["Heron"],
        "tube": ["Long tube"],
        "eyepiece": ["Wide 25"],
        "member": ["Ines"],
    }
    with pytest.raises(UnknownName):
        names_in(club, ["heron", "bracken"], kinds)  # one mount is enough
    with pytest.raises(OneTooMany):
        names_in(club, ["heron", "bracken"], ("mount",))
    assert names_in(club, ["mill", "with", "ines,", "bram"], ("site", "member"), many="member") == {
        "site": ["Mill Field"],
        "member": ["Ines", "Bram Ostler"],
    }


def test_the_only_battery_needs_no_name(club: Database) -> None:
    assert battery_meant(club, "") == "Lead battery"
    with pytest.raises(UnknownName):
        battery_meant(club, "lithium")


def test_without_a_battery_on_record_the_volts_go_with_the_step(club: Database) -> None:
    with club.write(NOW, "take the battery out of use") as session:
        session.execute(text("UPDATE equipment SET retired_on = '2026-01-01' WHERE name = 'Lead battery'"))
    with pytest.raises(NoBattery) as refused:
        battery_meant(club, "")
    assert refused.value.hint == "Put the volts with the step: tick power 12.6 12.1"
