"""How the optics behave: scalars and arrays, edges, warnings, and the refusal of what cannot be."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from numpy.typing import ArrayLike

from obslog import optics
from obslog.errors import OutOfRange
from tests.known import known

Pair = Callable[[ArrayLike, ArrayLike], np.ndarray]
OF_TWO: list[Pair] = [
    optics.magnification,
    optics.exit_pupil_mm,
    optics.focal_ratio,
    optics.true_field_from_stop_deg,
    optics.true_field_from_apparent_deg,
    optics.true_field_from_drift_deg,
]


@pytest.mark.parametrize("of_two", OF_TWO)
def test_a_number_and_an_array_give_the_same(of_two: Pair) -> None:
    first, second = np.array([20.0, 27.0, 46.0]), np.array([10.0, 40.0, 60.0])
    together = of_two(first, second)
    assert together.shape == (3,)
    assert_array_equal(together, [float(of_two(a, b)) for a, b in zip(first, second, strict=True)])
    assert_array_equal(of_two(first, 40.0), [float(of_two(a, 40.0)) for a in first])


@pytest.mark.parametrize("of_two", OF_TWO)
@pytest.mark.parametrize("impossible", [0.0, -1.0, np.nan])
def test_what_is_not_above_zero_has_no_answer_and_spoils_no_other(of_two: Pair, impossible: float) -> None:
    assert_array_equal(np.isnan(of_two([impossible, 27.0], 40.0)), [True, False])


@given(stop_mm=st.floats(5, 50), focal_mm=st.floats(300, 4000))
def test_a_star_on_the_edge_of_the_stop_is_imaged_there(stop_mm: float, focal_mm: float) -> None:
    radius = np.radians(float(optics.true_field_from_stop_deg(stop_mm, focal_mm)) / 2)
    assert_allclose(2 * focal_mm * np.tan(radius), stop_mm, rtol=1e-12)


@given(dec_deg=st.floats(-85, 85), drift_s=st.floats(10, 3000))
def test_drift_field_is_the_arc_between_directions_on_the_sphere(dec_deg: float, drift_s: float) -> None:
    # Independent: the angle between two directions from their cross and scalar product.
    turn = np.radians(drift_s * 15.0410671787 / 3600 / 2)
    dec = np.radians(dec_deg)
    middle = np.array([np.cos(dec), 0, np.sin(dec)])
    edge = np.array([np.cos(dec) * np.cos(turn), np.cos(dec) * np.sin(turn), np.sin(dec)])
    radius_deg = np.degrees(np.arctan2(np.linalg.norm(np.cross(middle, edge)), middle @ edge))
    assert_allclose(optics.true_field_from_drift_deg(drift_s, dec_deg), 2 * radius_deg, rtol=1e-9)


@pytest.mark.parametrize(("drift_s", "dec_deg"), [(60, 90), (60, -90), (60, 91), (86_165, 0), (60, np.nan)])
def test_drift_without_meaning_is_nan(drift_s: float, dec_deg: float) -> None:
    assert_array_equal(optics.true_field_from_drift_deg([drift_s, 60], [dec_deg, 20]) > 0, [False, True])
    assert np.isnan(optics.true_field_from_drift_deg(drift_s, dec_deg))


def test_a_barlow_lens_multiplies() -> None:
    assert_allclose(optics.magnification(1000, 25, barlow=[1, 2, 3]), [40, 80, 120], rtol=1e-12)


@pytest.mark.parametrize(
    ("aperture_mm", "power", "said"),
    [  # limits of common practice: exit pupil 7 mm and 0.5 mm, twice the aperture in millimetres
        (200, 25, ["8.0 mm", "7 mm", "175 mm", "200 mm"]),
        (200, 500, ["0.40 mm", "0.5 mm", "500x", "400x"]),
    ],
)
def test_warnings_tell_the_numbers(aperture_mm: float, power: float, said: list[str]) -> None:
    (warning,) = optics.view_warnings(aperture_mm, power)
    assert [number for number in said if number not in warning] == []


@pytest.mark.parametrize("power", [200 / 7, 100, 400])
def test_no_warning_on_or_within_the_limits(power: float) -> None:
    assert optics.view_warnings(200, power) == []


def test_view_prefers_the_field_stop_to_the_apparent_field() -> None:
    view = optics.view_through(212, 1000, 25, apparent_field_deg=53, field_stop_mm=21.6)
    assert view.true_field_from == "field stop"
    assert_allclose(known(view.true_field_deg), np.degrees(2 * np.arctan(21.6 / 2000)), rtol=1e-12)
    other = optics.view_through(212, 1000, 25, apparent_field_deg=53)
    assert other.true_field_from == "apparent field"
    assert_allclose(known(other.true_field_deg), 53 / 40, rtol=1e-12)


def test_view_of_an_eyepiece_of_unknown_field() -> None:
    view = optics.view_through(212, 1000, 25)
    assert view.true_field_deg is None
    assert view.true_field_from is None
    assert view.warnings == ()


def test_view_with_a_barlow_lens() -> None:
    plain = optics.view_through(212, 1000, 25, field_stop_mm=21.6)
    doubled = optics.view_through(212, 1000, 25, field_stop_mm=21.6, barlow=2)
    assert_allclose(doubled.magnification, 2 * plain.magnification)
    assert_allclose(doubled.focal_ratio, 2 * plain.focal_ratio)
    assert_allclose(doubled.exit_pupil_mm, plain.exit_pupil_mm / 2)
    assert_allclose(np.tan(np.radians(known(doubled.true_field_deg) / 2)), 21.6 / 4000, rtol=1e-12)


@pytest.mark.parametrize(
    ("given_values", "named"),
    [
        ({"aperture_mm": 0}, "aperture"),
        ({"tube_focal_mm": -1000}, "focal length of the tube"),
        ({"eyepiece_focal_mm": float("nan")}, "focal length of the eyepiece"),
        ({"field_stop_mm": 0}, "field stop"),
        ({"apparent_field_deg": 180}, "apparent field"),
        ({"barlow": 0}, "Barlow"),
    ],
)
def test_view_refuses_what_cannot_be(given_values: dict[str, float], named: str) -> None:
    usual = {"aperture_mm": 212, "tube_focal_mm": 1000, "eyepiece_focal_mm": 25}
    with pytest.raises(OutOfRange, match=named):
        optics.view_through(**{**usual, **given_values})
