"""The words of the next star: what it buys, from when it is seen, and why it is not the plan's; or none at all."""

import pytest

from obslog.club.live.next_star_answers import _eyepiece_words as eyepiece_words
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


NARROW, MIDDLE, WIDE = (40.0, "Stop 12"), (68.75, "Stop 20"), (79.5, "Wide 25")


@pytest.mark.parametrize(
    ("is_in", "most_arcmin", "told"),
    [
        (None, 30.0, ": Stop 20 holds them"),
        (NARROW, 30.0, ": Stop 20 holds them"),
        (MIDDLE, 30.0, ": Stop 20, which is in, holds them"),
        (WIDE, 30.0, ": Wide 25, which is in, holds them"),
        (WIDE, 39.75, ": Wide 25, which is in, holds them"),
        (WIDE, 40.0, ": the widest eyepiece, Wide 25, holds 75 %"),
    ],
)
def test_no_other_eyepiece_is_told_where_the_one_that_is_in_holds_the_go_tos(
    is_in: tuple[float, str] | None, most_arcmin: float, told: str
) -> None:
    """A radius fits in a field of twice as much."""
    assert eyepiece_words([NARROW, MIDDLE, WIDE], is_in, most_arcmin, lambda _: 0.75) == told


def test_the_eyepiece_that_is_in_is_told_of_though_it_is_not_among_those_at_hand() -> None:
    assert eyepiece_words([NARROW], WIDE, 30.0, lambda _: 0.75) == ": Wide 25, which is in, holds them"
    assert eyepiece_words([NARROW], WIDE, 50.0, lambda field: 0.5 if field == 79.5 else 0.1) == (
        ": the widest eyepiece, Wide 25, holds 50 %"
    )
    assert eyepiece_words([], None, 30.0, lambda _: 0.75) == ""
