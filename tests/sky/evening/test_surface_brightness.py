"""How bright surfaces are: against a reference catalogue, a published column, and discs by hand."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.evening.surface_brightness import GLOWING, mean_surface_brightness
from obslog.sky.names.deepsky import objects
from obslog.sky.names.object_types import ObjectType


def test_surface_brightness_is_that_of_the_reference_catalogue() -> None:
    """Third Reference Catalogue of Bright Galaxies (de Vaucouleurs et al. 1991), from memory: in magnitudes per square
    arcminute B + 5 log D - 2.5 log R - 5.26, with D in tenths of an arcminute; 8.89 more per square arcsecond."""
    b, major, minor = np.array([10.0, 12.5]), np.array([10.0, 2.0]), np.array([5.0, 0.5])
    expected = b + 5 * np.log10(major * 10) - 2.5 * np.log10(major / minor) - 5.26 + 8.89
    assert_allclose(mean_surface_brightness(b, major, minor), expected, atol=0.01)


def test_surface_brightness_is_near_the_published_column_of_the_catalogue() -> None:
    """Galaxies: the mean within the isophote of 25 mag as HyperLEDA gives it, which leaves out the light beyond."""
    known = [
        o for o in objects() if None not in (o.surface_brightness, o.b_mag, o.major_arcmin, o.minor_arcmin)
    ]
    b, major, minor, published = np.array(
        [(o.b_mag, o.major_arcmin, o.minor_arcmin, o.surface_brightness) for o in known], float
    ).T
    assert len(known) > 5000
    difference = mean_surface_brightness(b, major, minor) - published
    assert -0.6 < np.median(difference) < 0.0
    assert np.quantile(np.abs(difference - np.median(difference)), 0.9) < 0.6


def test_an_even_disc_of_one_square_arcsecond_has_its_own_magnitude() -> None:
    across_arcmin = 2 / np.sqrt(np.pi) / 60
    assert_allclose(mean_surface_brightness(20.0, across_arcmin, np.nan), 20.0)
    assert np.isnan(mean_surface_brightness(np.nan, 1, 1))
    assert np.isnan(mean_surface_brightness(10, 0, 0))


def test_light_spread_over_a_hundred_times_the_area_is_five_magnitudes_fainter() -> None:
    assert_allclose(mean_surface_brightness(10.0, [1.0, 10.0], [1.0, 10.0]) @ [-1, 1], 5.0)
    assert_allclose(mean_surface_brightness(10.0, 4.0, 1.0), mean_surface_brightness(10.0, 2.0, 2.0))


def test_a_short_axis_that_is_not_known_is_the_long_one_and_one_of_zero_is_no_axis() -> None:
    found = mean_surface_brightness(10.0, [2.0, 2.0, np.nan], [np.nan, 0.0, 2.0])
    round_one = float(mean_surface_brightness(10.0, 2.0, 2.0))
    assert_allclose(found, [round_one, np.nan, np.nan])


def test_clusters_and_stars_have_no_surface() -> None:
    assert {ObjectType.OPEN_CLUSTER, ObjectType.GLOBULAR_CLUSTER} & GLOWING == set()
    assert {ObjectType.GALAXY, ObjectType.PLANETARY_NEBULA} <= GLOWING
