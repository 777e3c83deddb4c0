"""What counts of a club's past, and how it is said."""

from datetime import date, timedelta

from obslog.club.aligning.past_mistakes import Mistake, PastMistakes, again_words, past_words
from obslog.pointing.mistakes.prior import Past
from obslog.vocabulary.mistakes import Cause

TONIGHT = date(2026, 3, 2)


def nights_ago(days: int, cause: Cause) -> Mistake:
    return Mistake(TONIGHT - timedelta(days=days), cause)


def test_a_mistake_counts_once_a_night_and_tonights_not_at_all() -> None:
    past = PastMistakes(
        (
            nights_ago(7, Cause.CLOCK),
            nights_ago(7, Cause.CLOCK),
            nights_ago(7, Cause.DATE),
            nights_ago(1, Cause.CLOCK),
            nights_ago(0, Cause.CLOCK),
            nights_ago(-1, Cause.CLOCK),
        ),
        {TONIGHT - timedelta(days=7): 3, TONIGHT - timedelta(days=1): 2, TONIGHT: 5},
    ).before(TONIGHT)
    assert dict(past.counts) == {Cause.CLOCK: 2, Cause.DATE: 1}
    assert past.setups == 5


def test_five_years_are_remembered() -> None:
    past = PastMistakes(
        (nights_ago(1826, Cause.CLOCK), nights_ago(1827, Cause.DATE)),
        {TONIGHT - timedelta(days=1826): 1, TONIGHT - timedelta(days=1827): 1},
    ).before(TONIGHT)
    # 5 x 365.25 = 1826.25 days
    assert (dict(past.counts), past.setups) == ({Cause.CLOCK: 1}, 1)


def test_mistakes_are_told_in_the_order_in_which_they_were_first_made() -> None:
    one_each = [
        Cause.LATITUDE,
        Cause.CLOCK,
        Cause.WRONG_STAR,
        Cause.DATE,
        Cause.LONGITUDE_SIGN,
        Cause.TIME_ZONE,
    ]
    made = [nights_ago(30 - place, cause) for place, cause in enumerate(one_each)]
    past = PastMistakes((*reversed(made), nights_ago(1, Cause.LATITUDE))).before(TONIGHT)
    assert list(past.counts) == one_each


def test_what_answers_are_weighed_by_is_one_line_with_its_counts() -> None:
    assert (
        past_words(Past())
        == "Weighed beforehand by common practice alone: past nights tell no mistake and no first star."
    )
    counts = {Cause.CLOCK: 1, Cause.SUMMER_TIME: 4, Cause.DATE: 2, Cause.LATITUDE: 1, Cause.WRONG_STAR: 1}
    assert past_words(Past(counts, 61)) == (
        "Weighed beforehand by common practice, worth 40 mistakes and 40 set-ups, and by this club's past nights: "
        "9 mistakes (summer time 4, date 2, clock 1, others 2) beside 61 first stars measured."
    )
    assert past_words(Past({}, 1)).endswith("past nights: 0 mistakes beside 1 first star measured.")


def test_a_mistake_that_was_made_before_is_said_to_be() -> None:
    assert again_words(Past({Cause.CLOCK: 2}), Cause.CLOCK) == " It was that on 2 past nights of this club."
    assert again_words(Past({Cause.CLOCK: 1}), Cause.CLOCK) == " It was that on 1 past night of this club."
    assert again_words(Past({Cause.CLOCK: 2}), Cause.DATE) == ""
