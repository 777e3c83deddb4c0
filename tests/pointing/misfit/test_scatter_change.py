"""A scatter that changed: the mathematics beside statsmodels, and made clubs in which it did or did not."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm

from obslog.pointing.joint_fit.fit import solved
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.examined import examine
from obslog.pointing.misfit.scatter_change import (
    LEAST_BESIDE,
    ScatterChange,
    _steps,
    log_variances,
    scatter_change,
)
from tests.pointing.joint_fit.pointing_clubs import Club, simulate
from tests.pointing.misfit.disturbed_clubs import GERMAN

SETUPS = 20
IN_TURN: list[str | None] = ["Ines", "Bram"] * (SETUPS // 2)
CLUBS = 12


def grown(seed: int, factor: float) -> Club:
    """From 2' to that many times as much half way; nothing else changes."""
    return simulate(
        np.random.default_rng(seed), GERMAN, setups=SETUPS, checks=6, eras=2,
        mechanical_arcmin=np.array([[3.0, 2.0, 1.0]] * 2), noise_of_last_era_arcmin=2.0 * factor,
    )  # fmt: skip


def looked_at(club: Club, observers: list[str | None]) -> ScatterChange | None:
    one_era = np.zeros(SETUPS, dtype=np.int64)
    return scatter_change(solved(GERMAN, club.arrivals, one_era), one_era, observers)


@pytest.mark.parametrize("degrees", [2.0, 5.0, 11.0])
def test_the_logarithm_of_a_variance_is_freed_of_its_bias(degrees: float) -> None:
    drawn = np.random.default_rng(3).chisquare(degrees, 200_000) / degrees
    value, sd = log_variances(drawn, np.full(drawn.size, degrees))
    assert value.mean() == pytest.approx(0.0, abs=0.01)
    assert value.std() == pytest.approx(sd[0], rel=0.01)


def test_a_step_is_that_of_weighted_least_squares() -> None:
    rng = np.random.default_rng(4)
    who: list[str | None] = [["Ines", "Bram", None][k] for k in rng.integers(0, 3, SETUPS)]
    sd = rng.uniform(0.3, 0.9, SETUPS)
    value = rng.normal(0, 2.0 * sd)
    places = range(LEAST_BESIDE, SETUPS - LEAST_BESIDE + 1)
    ours = _steps(value, sd, who, np.ones(SETUPS, bool), places)
    people = np.array([[name == one for one in ("Ines", "Bram", None)] for name in who], float)
    for number, place in enumerate(places):
        columns = np.column_stack([people, np.arange(SETUPS) >= place])
        theirs = sm.WLS(value, columns, weights=sd**-2.0).fit()
        assert theirs.scale > 1.0  # so that both estimate the scatter
        assert ours.size[number] == pytest.approx(theirs.params[3])
        assert ours.chance[number] == pytest.approx(theirs.pvalues[3])


KINDS: dict[str, Callable[[np.random.Generator], Club]] = {
    "quiet": lambda rng: simulate(rng, GERMAN, setups=SETUPS, checks=5),
    "wrong stars": lambda rng: simulate(rng, GERMAN, setups=SETUPS, checks=5, wrong_share=0.1),
    "heavy tails": lambda rng: simulate(rng, GERMAN, setups=SETUPS, checks=5, tail_degrees=3.0),
    "reading": lambda rng: simulate(rng, GERMAN, setups=SETUPS, checks=5, reading_share=0.1),
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_scatter_that_stays_is_not_called_changed(kind: str) -> None:
    """Counted once: none of 60 of each kind."""
    clubs = [KINDS[kind](np.random.default_rng(seed)) for seed in range(CLUBS)]
    assert sum(looked_at(club, IN_TURN) is not None for club in clubs) <= 1


def test_a_scatter_that_doubles_is_found_where_it_did() -> None:
    found = [looked_at(grown(seed, 2.0), IN_TURN) for seed in range(CLUBS)]
    right = [one for one in found if one and abs(one.setup - SETUPS // 2) <= 2 and 1.5 < one.factor < 2.7]
    assert len(right) >= CLUBS - 2


def test_set_ups_in_words_before_it_are_not_the_last_known_before() -> None:
    """Of the three before the 11th nothing was measured: the last of which the scatter is known is the 7th."""
    club = grown(1, 3.0)
    in_words = np.isin(club.arrivals.setup, range(7, 10))
    east, north = (
        np.where(in_words, np.nan, offsets)
        for offsets in (club.arrivals.offset_east_arcmin, club.arrivals.offset_north_arcmin)
    )
    arrivals = replace(club.arrivals, offset_east_arcmin=east, offset_north_arcmin=north)
    found = looked_at(replace(club, arrivals=arrivals), IN_TURN)
    assert found is not None
    assert (found.before, found.setup) == (6, 10)


def test_a_reader_who_came_half_way_cannot_be_told_from_the_mount() -> None:
    came: list[str | None] = ["Bram" if setup >= SETUPS // 2 else "Ines" for setup in range(SETUPS)]
    assert looked_at(grown(1, 3.0), came) is None
    assert looked_at(grown(1, 3.0), IN_TURN) is not None


def test_one_windy_night_is_no_change() -> None:
    club = grown(2, 1.0)
    windy = club.arrivals.setup == SETUPS - LEAST_BESIDE
    blown = np.random.default_rng(5).normal(0, 12.0, windy.size) * windy
    arrivals = replace(club.arrivals, offset_east_arcmin=club.arrivals.offset_east_arcmin + blown)
    assert looked_at(replace(club, arrivals=arrivals), IN_TURN) is None


def test_with_the_scatter_of_today_the_axes_are_as_sure_as_is_said() -> None:
    """With one noise for all the rms of (estimate - truth) / sd was 1.42 after it grew, and 0.53 before."""
    z = []
    for seed in range(6):
        club = grown(seed, 3.0)
        circumstances = Circumstances(observers=IN_TURN, temperature_c=np.full(SETUPS, np.nan))
        found = examine(GERMAN, club.arrivals, np.zeros(SETUPS, dtype=np.int64), circumstances)
        assert found.scatter_before is not None
        assert found.scatter_before.value == pytest.approx(2.0, abs=3.5 * found.scatter_before.sd)
        noise = found.fit.mechanical[-1].noise
        assert noise.value == pytest.approx(6.0, abs=3.5 * noise.sd)
        for setup, truth in list(zip(found.fit.setups, club.polar, strict=True))[SETUPS // 2 :]:
            for estimate, true in zip((setup.polar_altitude, setup.polar_azimuth), truth, strict=True):
                z.append((estimate.value - true) / estimate.sd)
    assert 0.8 < float(np.sqrt(np.mean(np.square(z)))) < 1.2
