"""Looking through a tube: what it dims, what it gains, and that more of anything that helps is never worse."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.contrast.moonlight import mag_per_arcsec2, nanolamberts
from obslog.sky.contrast.through_tube import (
    ONE_EYE,
    TRANSMISSION,
    faintest_star_mag,
    glow_margin_mag,
    naked_eye,
    usual_magnifications,
    views_through,
)


def test_dimming_and_gain_by_hand() -> None:
    # 200 mm at 50x: an exit pupil of 4 mm; at 20x of 10 mm, of which the eye takes 7.
    views = views_through(200.0, [50.0, 20.0])
    assert_allclose(views.dimming, [TRANSMISSION * (4 / 7) ** 2, TRANSMISSION])
    assert_allclose(views.gain, [TRANSMISSION * (200 / 7) ** 2, TRANSMISSION * 20**2])
    assert_allclose(views.eyes, ONE_EYE)


def test_usual_magnifications_run_from_the_widest_pupil_to_twice_the_aperture() -> None:
    powers = usual_magnifications(210.0)
    assert_allclose(powers[[0, -1]], [30.0, 420.0])
    assert_allclose(np.diff(np.log(powers)), np.log(14) / (powers.size - 1))


def test_a_tube_never_lifts_a_large_surface_from_the_sky_as_the_eye_alone_sees_it() -> None:
    """Light and sky are dimmed alike, and one eye and a darker ground need more contrast."""
    large = 200.0 * 60**2
    for aperture in (60.0, 150.0, 400.0):
        views = views_through(aperture, usual_magnifications(aperture))
        assert glow_margin_mag(23.0, large, 21.5, views) < glow_margin_mag(23.0, large, 21.5, naked_eye())


def test_a_small_surface_gains_by_aperture_and_by_magnification() -> None:
    margins = [glow_margin_mag(21.0, 0.1, 21.5, views_through(200.0, power)) for power in (30.0, 60.0, 100.0)]
    assert np.all(np.diff(margins) > 0)
    apertures = [
        glow_margin_mag(21.0, 4.0, 21.5, views_through(a, usual_magnifications(a)))
        for a in (60.0, 100.0, 250.0)
    ]
    assert np.all(np.diff(apertures) > 0)


def test_a_brighter_surface_a_larger_one_and_a_darker_sky_are_never_worse() -> None:
    views = views_through(150.0, usual_magnifications(150.0))
    assert_allclose(np.diff(glow_margin_mag([20.0, 21.0, 22.0], 20.0, 21.0, views)), -1.0)
    assert np.all(np.diff(glow_margin_mag(22.0, np.geomspace(0.1, 1e5, 20), 21.0, views)) > 0)
    assert np.all(np.diff(glow_margin_mag(22.0, 20.0, np.linspace(17, 22, 20), views)) > 0)
    assert np.all(np.diff(faintest_star_mag(np.linspace(15, 22, 20), views)) >= 0)


def test_arrays_have_their_own_shape_and_unknown_stays_unknown() -> None:
    views = views_through(150.0, usual_magnifications(150.0))
    found = glow_margin_mag([[20.0, np.nan]], [[5.0, 5.0]], 21.0, views)
    assert found.shape == (1, 2)
    assert_allclose(found[0, 0], glow_margin_mag(20.0, 5.0, 21.0, views))
    assert np.isnan(found[0, 1])
    assert np.isnan(faintest_star_mag(np.nan, views))


def test_twice_the_light_is_three_quarters_of_a_magnitude() -> None:
    # 2.5 log10 2 = 0.7526; the paper's 0.92104 for 0.4 ln 10 = 0.92103
    light = nanolamberts(21.0)
    assert_allclose(mag_per_arcsec2(light) - mag_per_arcsec2(2 * light), 0.7526, atol=1e-4)
