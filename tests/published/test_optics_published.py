"""Eyepiece and telescope arithmetic against published rules and definitions; the source stands beside each value."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog import optics
from obslog.optics import LimitFormula


def test_true_field_from_field_stop_is_twice_the_arc_tangent() -> None:
    # Textbook optics: 61 mm and 1000 mm. For a small angle 57.2958 x 61 / 1000 = 3.4950; the next term of the series is
    # a twelfth of the square of 0.061 less.
    assert_allclose(optics.true_field_from_stop_deg(61, 1000), 3.4950 * (1 - 0.061**2 / 12), atol=5e-5)


@pytest.mark.parametrize(("dec_deg", "field_arcmin"), [(0, 30.082), (40, 23.044), (-40, 23.044)])
def test_true_field_from_drift_uses_the_sidereal_rate(dec_deg: float, field_arcmin: float) -> None:
    # Standard rule t x 15.0411 / 60 x cos(dec) for 120 s; a clock at the Sun's rate would give 30.000.
    assert_allclose(60 * optics.true_field_from_drift_deg(120.0, dec_deg), field_arcmin, atol=0.002)


def test_sidereal_rate() -> None:
    # IERS Conventions, IAU 2000 Earth rotation angle: 15.041067 arcseconds a second of UT1 (constants from memory).
    assert_allclose(optics.SIDEREAL_RATE_ARCSEC_PER_S, 15.041067, atol=1e-6)
    # One degree on the equator takes 239.345 s (same source).
    assert_allclose(optics.true_field_from_drift_deg(239.345, 0), 1, rtol=3e-6)


def test_magnification_exit_pupil_and_focal_ratio() -> None:
    # By definition: 212 mm of aperture, 1060 mm of focal length, an eyepiece of 10 mm.
    assert_allclose(optics.magnification(1060, 10), 106, rtol=1e-12)
    assert_allclose(optics.exit_pupil_mm(212, 106), 2, rtol=1e-12)
    assert_allclose(optics.focal_ratio(1060, 212), 5, rtol=1e-12)


def test_dawes_limit() -> None:
    # Dawes 1867, in J. B. Sidgwick, Amateur Astronomer's Handbook: 116 by millimetres.
    assert_allclose(optics.dawes_limit_arcsec([100, 150, 200, 250]), [1.16, 0.773, 0.580, 0.464], atol=0.001)


def test_dawes_limit_in_inches() -> None:
    # The same rule as first given: 4.56 arcseconds by inches.
    inches = np.array([4.0, 8.0, 10.0])
    assert_allclose(optics.dawes_limit_arcsec(inches * 25.4), 4.56 / inches, atol=0.003)


def test_rayleigh_limit() -> None:
    # 138 by millimetres, 5.45 by inches (published rules); 1.22 wavelengths by aperture for 550 nm is 1.384 at 100 mm.
    assert_allclose(optics.rayleigh_limit_arcsec([100, 200]), [1.38, 0.690], atol=0.006)
    assert_allclose(optics.rayleigh_limit_arcsec(100), 1.384, atol=0.001)
    inches = np.array([4.0, 8.0, 10.0])
    assert_allclose(optics.rayleigh_limit_arcsec(inches * 25.4), 5.45 / inches, atol=0.003)


def test_limiting_magnitude_by_inches() -> None:
    # 9.1 + 5 log10 D: formula of a public page on telescope limits, eye 6.5 mag (usually credited to Sidgwick).
    apertures_mm = 25.4 * np.array([4, 8, 12])
    values = optics.limiting_magnitude(apertures_mm, LimitFormula.INCHES)
    assert_allclose(values, [12.11, 13.62, 14.50], atol=0.01)


def test_limiting_magnitude_by_millimetres() -> None:
    # 2 + 5 log10 D: common practice, from memory.
    values = optics.limiting_magnitude([100, 250], LimitFormula.MILLIMETRES)
    assert_allclose(values, [12.00, 13.99], atol=0.01)
