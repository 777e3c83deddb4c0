"""A step to look at first: when it is due, and that a tick is the end of it."""

from datetime import date, timedelta

import pytest
from sqlalchemy import select

from obslog.club.checklist.look_first import LookFirst
from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.checklist.step_ticks import tick_step
from obslog.club.live.answers import LiveKind
from obslog.club.live.answers_now import answers_now
from obslog.club.live.checklist_answers import kept_look_first
from obslog.club.live.situation import LiveMemory
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.open_night import SetupChoice, chosen_setup
from obslog.club.routine.routine_loading import load_routine
from obslog.offsets import read_offset_or_landing
from obslog.records.tables.logbook_tables import Mount, Snag
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step, StepKey
from tests.club.routine.own_step import OWN_STEP

HERON = SetupChoice(mount="Heron")


def a_line(step: StepKey, rate: float) -> LookFirst:
    return LookFirst(
        step=step, title=f"Step {step}", about="mount", name="Heron", evidence="wrong on 3 of the last 9 nights",
        wrong=3, nights=9, rate=rate, sd=0.1, low=0.1, high=0.6, worse_than=0.08, probability=0.95,
        last_night=date(2026, 2, 1), last_text="it slipped", last_remedy=None,
    )  # fmt: skip


@pytest.fixture
def memory(evening):
    """Heron's record: the clock, the centring and the check afterwards go wrong often."""
    with evening.read() as session:
        setup = chosen_setup(session, HERON).setup.id
    lines = [a_line(Step.VERIFY, 0.4), a_line(Step.KEY_IN, 0.33), a_line(Step.POLAR_AXIS, 0.3)]
    return LiveMemory(look_first={setup: lines})


def looked_at(evening, memory, now):
    answers = answers_now(evening, HERON, now, memory=memory)
    return [answer for answer in answers if answer.kind is LiveKind.LOOK_FIRST]


def test_before_the_first_star_the_likeliest_of_the_steps_due_is_told_alone(evening, memory, now):
    (told,) = looked_at(evening, memory, now)
    assert told.about == Step.KEY_IN
    assert told.words == (
        "look first: Step key-in; wrong on 3 of the last 9 nights (goes wrong 33 % of the time)"
    )


def test_a_tick_ends_it_and_the_next_one_is_told(evening, memory, now):
    tick_step(evening, Step.KEY_IN, "Heron", "Mill Field", now, now)
    (told,) = looked_at(evening, memory, now)
    assert told.about == Step.POLAR_AXIS
    tick_step(evening, Step.POLAR_AXIS, "Heron", "Mill Field", now, now)
    assert looked_at(evening, memory, now) == []


def test_what_is_past_is_not_told_any_more(evening, memory, now):
    for minutes, star in ((30, "Regulus"), (25, "Procyon"), (20, "Capella")):
        entry = ArrivalEntry(target=star, where=read_offset_or_landing("2E"))
        record_arrival(evening, Role.SYNC, entry, HERON, now - timedelta(minutes=minutes), sure=True)
    (told,) = looked_at(evening, memory, now)
    assert told.about == Step.VERIFY


def test_a_step_of_the_clubs_own_has_its_turn_with_the_one_before_it(evening, memory, now):
    """After `power` it is due before the first star; at the end, after `finish`, it never is."""
    with evening.read() as session:
        setup = chosen_setup(session, HERON).setup.id
    memory.look_first[setup] = [a_line("dew-heaters", 0.5)]
    load_routine(evening, OWN_STEP, "routine.toml", now)
    (told,) = looked_at(evening, memory, now)
    assert told.about == "dew-heaters"
    load_routine(evening, OWN_STEP.replace('"power", ', '"power", "finish", '), "routine.toml", now)
    assert looked_at(evening, memory, now) == []


def test_what_a_mounts_next_set_up_is_told_is_made_anew_when_the_routine_is_another(evening, now):
    """Six evenings before this one on which a step goes wrong that no checklist has yet."""
    with evening.write(now, "snags") as session:
        heron = session.scalar(select(Mount).where(Mount.name == "Heron"))
        for weeks in range(1, 7):
            at_utc = now - timedelta(weeks=weeks)
            session.add(Snag(at_utc=at_utc, step="dew-heaters", text="still on", equipment_id=heron.id))

    def steps() -> list[str]:
        with evening.read() as session:
            heron = session.scalar(select(Mount).where(Mount.name == "Heron"))
            night = now.date()
            found = kept_look_first(session, heron, night, lambda: read_past_nights(session, night))
        return [line.step for line in found]

    assert steps() == []
    load_routine(evening, OWN_STEP, "routine.toml", now)
    assert steps() == ["dew-heaters"]


def test_a_mount_without_a_bad_record_has_no_such_line(evening, now):
    assert looked_at(evening, LiveMemory(), now) == []
