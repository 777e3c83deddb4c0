"""Which changes are sure enough to make a mount another, in made clubs, and their words."""

from dataclasses import replace
from datetime import date, timedelta
from uuid import UUID

import numpy as np
import pytest

from obslog.pointing.misfit.found_changes import FoundChange, chance_of_words, changes_of, record_words
from obslog.values import Estimate, SetupId
from tests.pointing.misfit.disturbed_clubs import (
    SETUPS,
    Disturbed,
    changed,
    clamped_anew,
    drifting,
    jumping,
    misread,
    quiet,
)

NIGHTS = [
    SetupId(
        key=UUID(int=number),
        night=date(2025, 1, 1) + timedelta(days=30 * number),
        setup=1,
        site="Tarn",
        mount="Heron",
    )
    for number in range(SETUPS)
]
CLUBS = 40
STEADY = {
    "quiet": quiet,
    "one in ten wrong": lambda seed: quiet(seed, wrong_share=0.1),
    "one reads 4' to a side": lambda seed: misread(seed, 4.0),
    "a jump at the flip": lambda seed: jumping(seed, (4.0, 4.0)),
    "a tube clamped anew each night": lambda seed: clamped_anew(seed, 10.0),
    "wear": lambda seed: drifting(seed, 0, 15.0),
}


def sure(disturbed: Disturbed) -> list[FoundChange]:
    return [change for change in changes_of(NIGHTS, disturbed.examined()) if change.sure]


@pytest.mark.parametrize("name", STEADY)
def test_where_no_knock_was_none_is_sure(name: str) -> None:
    """At most one club in twenty: of 40 more than 4 would come once in 20."""
    assert sum(bool(sure(STEADY[name](seed))) for seed in range(CLUBS)) <= 4


def test_a_knock_is_sure_where_and_as_large_as_it_was() -> None:
    right = 0
    for seed in range(CLUBS):
        right += any(
            change.since == NIGHTS[SETUPS // 2].night
            and change.last_before == NIGHTS[SETUPS // 2 - 1].night
            and change.term == "cone"
            and abs(change.size_arcmin.value - 15.0) < 3.5 * change.size_arcmin.sd
            for change in sure(changed(seed, 0, 15.0))
        )
    assert right >= 0.9 * CLUBS


def without_arrivals(disturbed: Disturbed, setups: list[int]) -> Disturbed:
    """The same where the arrivals of those set-ups were told in words alone."""
    arrivals = disturbed.club.arrivals
    in_words = np.isin(arrivals.setup, setups)
    silent = replace(
        arrivals,
        offset_east_arcmin=np.where(in_words, np.nan, arrivals.offset_east_arcmin),
        offset_north_arcmin=np.where(in_words, np.nan, arrivals.offset_north_arcmin),
    )
    return replace(disturbed, club=replace(disturbed.club, arrivals=silent))


def test_a_knock_amid_set_ups_in_words_came_between_those_on_either_side_of_them() -> None:
    half = SETUPS // 2
    (found,) = changes_of(
        NIGHTS, without_arrivals(changed(1, 0, 25.0), [half - 1, half, half + 1]).examined()
    )
    assert (found.last_before, found.since) == (NIGHTS[half - 2].night, NIGHTS[half + 2].night)


def test_the_chance_of_a_change_is_that_of_all_looks_together() -> None:
    examined = changed(1, 0, 15.0).examined()
    (change,) = examined.left_out.changes
    told = replace(
        examined, left_out=replace(examined.left_out, changes=(replace(change, p=0.0016),), looks=6)
    )
    (found,) = changes_of(NIGHTS, told)
    assert found.chance == pytest.approx(0.0096)
    assert chance_of_words(found.chance) == "chance alone gives as much once in 104"


def test_a_change_in_words() -> None:
    change = FoundChange(
        last_before=date(2025, 3, 2), since=date(2025, 4, 1), term="cone",
        size_arcmin=Estimate(-15.2, 1.1, 40, True), chance=2e-9, at_once=True, sure=True,
    )  # fmt: skip
    assert change.words == "cone error changed by 15' ± 1' between the nights of 2025-03-02 and 2025-04-01"
    assert record_words("Old Grumble", change) == (
        'obslog service add "Old Grumble" --on 2025-04-01 --mechanical "what was done"'
    )
    assert chance_of_words(2e-9) == "chance alone gives as much less than once in 1000"
    assert chance_of_words(0.005) == "chance alone gives as much once in 200"
