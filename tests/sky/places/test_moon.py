"""Phases have their names, ages their limits, and the bright limb faces the Sun."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.places.moon import PhaseName, moon_elongation_deg, moon_phase, phase_name, principal_phases


@pytest.mark.parametrize(
    ("elongation_deg", "name"),
    [
        (0, PhaseName.NEW),
        (5, PhaseName.NEW),
        (355, PhaseName.NEW),
        (45, PhaseName.WAXING_CRESCENT),
        (90, PhaseName.FIRST_QUARTER),
        (96.2, PhaseName.WAXING_GIBBOUS),
        (135, PhaseName.WAXING_GIBBOUS),
        (180, PhaseName.FULL),
        (225, PhaseName.WANING_GIBBOUS),
        (270, PhaseName.LAST_QUARTER),
        (353, PhaseName.WANING_CRESCENT),
    ],
)
def test_names_of_phases(elongation_deg: float, name: PhaseName) -> None:
    assert phase_name(elongation_deg) is name


def test_principal_phases_follow_each_other_through_a_year() -> None:
    phases = principal_phases(np.datetime64("2026-01-01"), 365)
    names = [phase.name for phase in phases]
    cycle = [PhaseName.NEW, PhaseName.FIRST_QUARTER, PhaseName.FULL, PhaseName.LAST_QUARTER]
    start = cycle.index(names[0])
    assert names == [cycle[(start + k) % 4] for k in range(len(names))]
    # Mean synodic month 29.53059 days (Meeus, Astronomical Algorithms, 1998, chapter 49).
    new_moons = np.array([p.when_utc for p in phases if p.name is PhaseName.NEW])
    months = np.diff(new_moons) / np.timedelta64(1, "D")
    assert_allclose(months.mean(), 29.53, rtol=0, atol=0.1)
    assert months.max() < 29.84
    assert months.min() > 29.26


def test_at_the_first_quarter_half_is_lit() -> None:
    quarter = principal_phases(np.datetime64("2018-09-11"), 7)[0]
    phase = moon_phase(quarter.when_utc)
    assert phase.name is PhaseName.FIRST_QUARTER
    assert_allclose(phase.elongation_deg, 90, atol=1e-3)
    assert_allclose(phase.illuminated, 0.5, atol=0.005)
    assert 6.5 < phase.age_days < 8.3


def test_age_starts_anew_at_new_moon() -> None:
    new_moon = next(p for p in principal_phases(np.datetime64("2026-03-01"), 31) if p.name is PhaseName.NEW)
    minute = np.timedelta64(1, "m")
    assert_allclose(moon_phase(new_moon.when_utc + minute).age_days, 1 / 1440, atol=1e-4)
    assert 29.2 < moon_phase(new_moon.when_utc - minute).age_days < 29.9


def test_elongation_has_the_shape_of_the_instants() -> None:
    when = np.datetime64("2026-03-01") + np.arange(5) * np.timedelta64(1, "D")
    elongation = moon_elongation_deg(when)
    assert elongation.shape == (5,)
    assert_allclose(np.diff(elongation), 12.19, atol=2.5)  # mean motion against the Sun, 360 deg in a month
