"""Catalogues gathered as arrays: lists, types and names; and how bright surfaces are."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.errors import UnknownName
from obslog.sky.evening.object_arrays import listed_objects, named_things, types_named, whole_catalogue
from obslog.sky.evening.surface_brightness import contrast_mag, mean_surface_brightness
from obslog.sky.names.deepsky import objects


def test_the_lists_have_the_numbers_of_their_makers() -> None:
    assert len(listed_objects("Messier")) == 110
    assert len(listed_objects("caldwell")) == 109  # P. Caldwell-Moore, Sky & Telescope, December 1995
    assert listed_objects("messier").names[:2] == ("M 1", "M 2")
    with pytest.raises(UnknownName):
        listed_objects("mesier")


def test_a_part_of_a_catalogue_keeps_its_columns_together() -> None:
    whole = whole_catalogue()
    part = whole.only(np.array([5, 0]))
    assert part.names == (whole.names[5], whole.names[0])
    assert_allclose(part.ra_hours, whole.ra_hours[[5, 0]])


def test_names_that_mean_the_same_are_one_and_unknown_ones_are_told() -> None:
    found, left = named_things(["M31", "NGC 224", "alf Lyr", "Moon", "no such thing"])
    assert found.names == ("M 31", "Vega")
    assert left == ["Moon", "no such thing"]


def test_a_word_stands_for_all_types_that_hold_it() -> None:
    assert types_named("galaxy") == {"galaxy"}
    assert types_named("Cluster") == {"open cluster", "globular cluster", "cluster with nebula"}
    with pytest.raises(UnknownName):
        types_named("gallaxy")


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
    assert_allclose(contrast_mag([21.0, np.nan], [22.5, 20]), [-1.5, np.nan])


def test_the_whole_catalogue_tells_of_each_object_what_the_object_tells_of_itself() -> None:
    whole, things = whole_catalogue(), objects()
    assert whole.names == tuple(thing.known_as for thing in things)
    assert whole.titles == tuple(thing.title for thing in things)
    assert whole.types == tuple(thing.type for thing in things)
    assert whole.constellations == tuple(thing.constellation for thing in things)
    assert whole.bands == tuple(thing.band for thing in things)
    assert_allclose(whole.magnitude, [np.nan if t.magnitude is None else t.magnitude for t in things])
    assert_allclose(
        whole.minor_arcmin, [np.nan if t.minor_arcmin is None else t.minor_arcmin for t in things]
    )
