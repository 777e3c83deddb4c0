"""What keeps going wrong, in one line: a cause or a text that makes up half of it, else the step."""

import pytest

from obslog.club.checklist.recurring_faults import (
    CAUSE_WORDS,
    Trouble,
    cause_of,
    evidence_words,
    main_trouble,
)
from obslog.club.checklist.setup_outcomes import Wrong
from obslog.vocabulary.mistakes import Cause, SetupFault

TITLE = "Key in time and place"
SUMMER, DATE = Wrong("first star 15° off", Cause.SUMMER_TIME), Wrong("first star 1° off", Cause.DATE)


def others(count: int) -> list[Wrong]:
    return [Wrong(f"something odd, number {place}") for place in range(count)]


@pytest.mark.parametrize(
    ("wrongs", "words", "count"),
    [
        ([SUMMER, SUMMER], "summer time wrong", 2),
        ([SUMMER, SUMMER, *others(2)], "summer time wrong", 2),  # half of four
        ([SUMMER, SUMMER, *others(3)], f"trouble at '{TITLE}'", 5),  # two of five are under half
        ([SUMMER, DATE], f"trouble at '{TITLE}'", 2),  # each came once
        ([SUMMER, DATE, SUMMER, DATE, DATE], "date wrong", 3),
        ([Wrong("plug loose"), Wrong("plug loose"), Wrong("flat")], '"plug loose"', 2),
        ([Wrong("plug loose"), Wrong("flat")], f"trouble at '{TITLE}'", 2),
        ([Wrong("forgot summer time"), Wrong("summer time was off")], "summer time wrong", 2),
    ],
)
def test_the_commonest_trouble_is_named_where_it_is_half_of_all(
    wrongs: list[Wrong], words: str, count: int
) -> None:
    found = main_trouble(wrongs, TITLE)
    assert (found.words, found.count) == (words, count)


def test_a_trouble_covers_what_it_counts_and_no_more() -> None:
    cause = Trouble("summer time wrong", 2, cause=Cause.SUMMER_TIME)
    assert [cause.covers(one) for one in (SUMMER, DATE, Wrong("summer time was off"))] == [True, False, True]
    text = Trouble('"plug loose"', 2, text="plug loose")
    assert [text.covers(one) for one in (Wrong("plug loose"), Wrong("flat"))] == [True, False]
    assert all(Trouble("trouble", 3).covers(one) for one in (SUMMER, DATE, *others(2)))


def test_a_cause_that_is_known_comes_before_what_the_words_name() -> None:
    assert cause_of(Wrong("summer time was off", Cause.DATE)) is Cause.DATE
    assert cause_of(Wrong("summer time was off")) is Cause.SUMMER_TIME
    assert cause_of(Wrong("plug loose")) is None


def test_nights_are_counted_with_a_mount_or_member_and_set_ups_at_a_site() -> None:
    trouble = Trouble("summer time wrong", 2)
    assert evidence_words(trouble, 6, "member", "Tomasz") == (
        "summer time wrong on 2 of the last 6 nights with Tomasz"
    )
    assert evidence_words(trouble, 6, "mount", "Heron").endswith("of the last 6 nights with Heron")
    assert evidence_words(trouble, 6, "site", "Tarn").endswith("of the last 6 set-ups at Tarn")
    two_mounts_a_night = evidence_words(trouble, 6, "member", "Tomasz", each_a_night=False)
    assert two_mounts_a_night.endswith("of the last 6 set-ups with Tomasz")


def test_every_cause_and_fault_that_can_be_found_has_words() -> None:
    ordinary = {Cause.ORDINARY, Cause.EQUINOX, Cause.SOMETHING_ELSE}
    assert set(CAUSE_WORDS) == {*Cause, *SetupFault} - ordinary
