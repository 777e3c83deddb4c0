"""Every cause of a first miss is known wherever causes are told apart, or listed there as having nothing."""

import pytest

from obslog.club.aligning.mistake_words import TELL_TALE
from obslog.club.checklist.measured_faults import NO_MISTAKE_OF_A_STEP, STEP_OF_CAUSE
from obslog.club.checklist.recurring_faults import CAUSE_WORDS
from obslog.pointing.mistakes.words import WORDS
from obslog.vocabulary.mistakes import Cause, SetupFault

# What nobody writes down in words of its own: no snag counts for it.
WITHOUT_TELL_TALE = {
    Cause.ORDINARY,
    Cause.MORNING_FOR_EVENING,
    Cause.DEGREES_AND_MINUTES,
    Cause.HOUR_AXIS_HOME,
    Cause.SENT_TO_ANOTHER_STAR,
    Cause.EQUINOX,
    Cause.SOMETHING_ELSE,
}


def test_every_cause_has_words_with_a_remedy_and_something_to_look_at() -> None:
    assert list(WORDS) == list(Cause)
    assert all(words.weight > 0 and words.what and words.remedy and words.look_at for words in WORDS.values())


@pytest.mark.parametrize("cause", Cause)
def test_every_cause_has_a_tell_tale_or_none_is_looked_for(cause: Cause) -> None:
    assert (cause in TELL_TALE) != (cause in WITHOUT_TELL_TALE)


@pytest.mark.parametrize("cause", Cause)
def test_every_cause_belongs_to_a_step_or_is_no_mistake_of_one(cause: Cause) -> None:
    assert (cause in STEP_OF_CAUSE) != (cause in NO_MISTAKE_OF_A_STEP)


@pytest.mark.parametrize("cause", [*Cause, *SetupFault])
def test_what_belongs_to_a_step_can_be_told_in_the_evidence(cause: Cause | SetupFault) -> None:
    assert (cause in CAUSE_WORDS) != (cause in NO_MISTAKE_OF_A_STEP)
