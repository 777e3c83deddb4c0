"""Catalogues gathered as arrays: lists, types and names."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.errors import UnknownName
from obslog.sky.evening.object_arrays import listed_objects, named_things, whole_catalogue
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
