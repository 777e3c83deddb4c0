"""The words of the next star: what it buys, from when it is seen, and why it is not the plan's; or none at all."""

from obslog.club.live.next_star_answers import _next_words as next_words
from obslog.club.live.situation import NextStar
from obslog.pointing.planning.expected_landing import ExpectedLanding

WHERE = "Achernar, 52° up in the south-east"
BEFORE = ExpectedLanding(50.0, 120.0, float("nan"))


def test_the_first_star_is_told_with_what_it_buys_alone() -> None:
    (told,) = next_words(NextStar(where=WHERE, half_arcmin=41.6), None, 0)
    assert told.words == f"sync first on {WHERE}: half of the go-tos then land within 42'"
    assert told.about == "after 0"


def test_a_later_star_is_told_with_what_it_gains_and_what_it_stands_for() -> None:
    star = NextStar(where=WHERE, half_arcmin=12.0, instead="Ankaa, the next of the plan, has set")
    (told,) = next_words(star, BEFORE, 1)
    assert told.words == (
        f"sync next on {WHERE}: half of the go-tos then land within 12', not 50' (Ankaa, the next of the plan, has set)"
    )


def test_what_gains_less_than_a_fifth_is_not_told() -> None:
    assert next_words(NextStar(where=WHERE, half_arcmin=40.5), BEFORE, 1) == []
    assert len(next_words(NextStar(where=WHERE, half_arcmin=39.5), BEFORE, 1)) == 1


def test_before_dusk_the_time_comes_first() -> None:
    star = NextStar(where=WHERE, half_arcmin=95.0, from_when="from 20:31 on, as soon as it is dark enough, ")
    (told,) = next_words(star, None, 0)
    assert told.words.startswith(f"from 20:31 on, as soon as it is dark enough, sync first on {WHERE}: half")
    assert told.words.endswith("1.6°")
