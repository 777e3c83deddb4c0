"""How often which mistake is expected, before and after a club's own past: by hand."""

import pytest

from obslog.pointing.mistakes.prior import NO_PAST, Past, UnknownMistake, prior_shares
from obslog.pointing.mistakes.words import WORDS
from obslog.vocabulary.mistakes import Cause

TOTAL = sum(words.weight for words in WORDS.values())


def test_without_a_past_the_stated_weights_hold() -> None:
    stated = {name: words.weight / TOTAL for name, words in WORDS.items()}
    assert prior_shares() == pytest.approx(stated, rel=1e-12)
    assert prior_shares(NO_PAST) == prior_shares(Past({}, 0))


def test_forty_mistakes_are_worth_as_much_as_what_is_judged() -> None:
    """Of 810 set-ups 40 began with a mistake: with two of the forty beforehand 42 of 850, which is near one in twenty.

    So the ordinary keeps its share but for 42/808 against 2/38; of the mistakes each keeps half of what was judged, and
    the date, named forty times, has the other half.
    """
    before, after = prior_shares(), prior_shares(Past({Cause.DATE: 40}, 810))
    growth = (42 / 808) / (2 / 38)
    ordinary = 10.0 / TOTAL
    whole = ordinary + growth * (1 - ordinary)
    assert after[Cause.ORDINARY] == pytest.approx(ordinary / whole)
    assert after[Cause.CLOCK] == pytest.approx(growth * before[Cause.CLOCK] / 2 / whole)
    assert after[Cause.DATE] == pytest.approx(growth * (before[Cause.DATE] / 2 + (1 - ordinary) / 2) / whole)
    assert sum(after.values()) == pytest.approx(1.0)


def test_a_club_that_makes_no_mistakes_is_suspected_less() -> None:
    """After 360 first stars without one the rate is 2 / 400, odds of 1 to 199 where they were 1 to 19."""
    before, after = prior_shares(), prior_shares(Past({}, 360))
    odds = before[Cause.CLOCK] / before[Cause.ORDINARY]
    assert after[Cause.CLOCK] / after[Cause.ORDINARY] == pytest.approx(odds * 19 / 199)


def test_one_strange_night_moves_little() -> None:
    before, after = prior_shares(Past({}, 100)), prior_shares(Past({Cause.EQUINOX: 1}, 100))
    for name in set(Cause) - {Cause.EQUINOX}:
        assert after[name] == pytest.approx(before[name], rel=0.6)
        assert abs(after[name] - before[name]) < 0.07
    assert after[Cause.EQUINOX] < 0.05


def test_mistakes_without_a_measured_star_still_count_one_set_up_each() -> None:
    """Ten named by people where no first star was measured: 12 of 50, never more mistakes than set-ups."""
    odds = prior_shares(Past({Cause.CLOCK: 10}, 0))
    mistakes = 1.0 - odds[Cause.ORDINARY]
    before = 1.0 - 10.0 / TOTAL
    assert mistakes / odds[Cause.ORDINARY] == pytest.approx(before / (1 - before) * (12 / 38) / (2 / 38))


def test_what_is_no_mistake_on_the_list_is_refused() -> None:
    with pytest.raises(UnknownMistake, match="gremlins"):
        prior_shares(Past({"gremlins": 1}))  # type: ignore[dict-item]
