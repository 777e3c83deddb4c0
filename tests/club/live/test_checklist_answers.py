"""A step to look at first: when it is due, and that a tick is the end of it."""

from datetime import date, timedelta

import pytest

from obslog.club.checklist.look_first import LookFirst
from obslog.club.checklist.step_ticks import tick_step
from obslog.club.live.answers import LiveKind
from obslog.club.live.answers_now import answers_now
from obslog.club.live.situation import LiveMemory
from obslog.club.night.arrivals import ArrivalEntry, record_arrival
from obslog.club.night.open_night import SetupChoice, chosen_setup
from obslog.offsets import read_offset_or_landing
from obslog.vocabulary import Role, Step

HERON = SetupChoice(mount="Heron")


def a_line(step: Step, rate: float) -> LookFirst:
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


def test_a_mount_without_a_bad_record_has_no_such_line(evening, now):
    assert looked_at(evening, LiveMemory(), now) == []
