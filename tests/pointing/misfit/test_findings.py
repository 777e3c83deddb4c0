"""What is found beside the model is told with its direction, and so that its size cannot be taken for twice as much."""

from dataclasses import replace
from datetime import date, timedelta
from uuid import UUID

import numpy as np
import pytest

from obslog.pointing.misfit.columns import columns_of
from obslog.pointing.misfit.findings import Finding, findings_of
from obslog.values import SetupId
from obslog.vocabulary.mistakes import MisfitKind
from tests.pointing.joint_fit.pointing_clubs import simulate
from tests.pointing.misfit.disturbed_clubs import GERMAN, SETUPS, Disturbed, in_turn, misread, quiet, slack


def found_of(disturbed: Disturbed, kind: MisfitKind) -> Finding:
    (found,) = (one for one in findings_of("Heron", [], disturbed.examined(), []) if one.kind is kind)
    return found


def bending(sag_for_ten_degrees_arcmin: float) -> Disturbed:
    """Every other night is 20 °C warmer, and the tube's sag another then."""
    warmth_c = np.where(np.arange(SETUPS) % 2, 20.0, 0.0)
    sag = 1.0 + sag_for_ten_degrees_arcmin * warmth_c / 10.0
    mechanical = np.array([5.0, 2.0, 0.0]) + sag[:, None] * np.eye(3)[2]
    club = simulate(
        np.random.default_rng(3), GERMAN, setups=SETUPS, checks=8, eras=SETUPS, mechanical_arcmin=mechanical
    )
    return Disturbed(club, replace(in_turn(), temperature_c=warmth_c), np.array([sag_for_ten_degrees_arcmin]))


def rising(up_at_45_arcmin: float) -> Disturbed:
    """Stars stand higher than they should, the more the lower they are: of stars over 26° sag explains most of it."""
    plain = quiet(1, noise_arcmin=1.0)
    arrivals = plain.club.arrivals
    columns = columns_of(GERMAN, arrivals, plain.circumstances)
    (altitude,) = (cause for cause in columns.causes if cause.kind is MisfitKind.ALTITUDE)
    east, north = up_at_45_arcmin * columns.values[:, altitude.columns[0]]
    moved = replace(
        arrivals,
        offset_east_arcmin=arrivals.offset_east_arcmin + east,
        offset_north_arcmin=arrivals.offset_north_arcmin + north,
    )
    return replace(plain, club=replace(plain.club, arrivals=moved))


@pytest.mark.parametrize(("sag_arcmin", "way"), [(5.0, "more"), (-5.0, "less")])
def test_a_tube_that_bends_with_the_temperature_sags_more_or_less_in_warm_air(
    sag_arcmin: float, way: str
) -> None:
    found = found_of(bending(sag_arcmin), MisfitKind.TEMPERATURE)
    assert f"{way} for each 10 °C that the air is warmer" in found.words
    assert found.size_arcmin is not None
    assert found.sd_arcmin is not None
    assert abs(found.size_arcmin - 5.0) < 3 * found.sd_arcmin


@pytest.mark.parametrize(("up_arcmin", "way"), [(25.0, "higher"), (-25.0, "lower")])
def test_low_stars_stand_higher_or_lower_than_sag_explains(up_arcmin: float, way: str) -> None:
    assert f"{way} at 45° than sag explains" in found_of(rising(up_arcmin), MisfitKind.ALTITUDE).words


def test_slack_is_told_to_either_side_and_twice_as_much_between_the_two() -> None:
    """Stars of this club stand 3' further east or 3' further west: 6' lie between them."""
    found = found_of(slack(1, 3.0), MisfitKind.DIRECTION)
    assert found.size_arcmin == pytest.approx(3.0, abs=0.9)
    assert "to one side or to the other" in found.words
    assert "twice that lies between the two" in found.words


def test_the_chance_that_is_told_is_that_of_all_looks_together() -> None:
    """A person 4' to one side, found at once in a hundred by a single look, of several that were looked at."""
    disturbed = misread(2, 4.0).examined()
    ((cause, _),) = disturbed.left_out.causes
    told = replace(disturbed, left_out=replace(disturbed.left_out, causes=((cause, 0.002),), looks=5))
    (found,) = findings_of("Heron", [], told, [])
    assert "chance alone gives as much once in 100)" in found.words


def nights(days: list[int]) -> list[SetupId]:
    return [
        SetupId(
            key=UUID(int=n), night=date(2025, 1, 1) + timedelta(days=day), setup=n, site="Tarn", mount="Heron"
        )
        for n, day in enumerate(days)
    ]


@pytest.mark.parametrize(
    ("before_the_change", "when"),
    [(9, "between the nights of 2025-01-10 and 2025-01-11"), (10, "in the night of 2025-01-11")],
)
def test_a_scatter_that_grew_within_a_night_names_that_night_alone(before_the_change: int, when: str) -> None:
    scatters = np.where(np.arange(SETUPS) < SETUPS // 2, 1.0, 8.0)
    club = simulate(
        np.random.default_rng(4), GERMAN, setups=SETUPS, checks=10, noise_by_setup_arcmin=scatters
    )
    days = [5, 6, 7, 8, before_the_change, 10, 12, 13, 14, 15]
    examined = Disturbed(club, replace(in_turn(), observers=[None] * SETUPS), np.zeros(2)).examined()
    (found,) = (
        one for one in findings_of("Heron", nights(days), examined, []) if one.kind is MisfitKind.SCATTER
    )
    assert when in found.words
