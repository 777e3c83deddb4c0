"""The deep-sky tables as data: complete, consistent, and each object in the constellation it says."""

from collections import Counter

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from skyfield.api import load_constellation_map, position_of_radec

from obslog.sky.evening.object_arrays import object_arrays
from obslog.sky.names.deepsky import NOTES, find_object, objects
from obslog.sky.names.deepsky_names import TABLES, common_names, other_designations
from obslog.sky.names.object_types import ObjectType


@pytest.mark.parametrize(("catalogue", "last"), [("NGC", 7840), ("IC", 5386)])
def test_every_number_of_the_old_catalogues_is_accounted_for(catalogue: str, last: int) -> None:
    # J. L. E. Dreyer's catalogues run to NGC 7840 (1888) and IC 5386 (1908).
    known = {thing.designation for thing in objects()} | set(other_designations())
    assert [n for n in range(1, last + 1) if f"{catalogue} {n}" not in known] == []
    assert f"{catalogue} {last + 1}" not in known


def test_no_record_of_the_source_is_lost() -> None:
    # OpenNGC in pyongc 1.2.2: 14,033 records, 652 of them duplicates and 10 of nothing; 24 more were added.
    assert len(objects()) == 14_033 - 652 - 10 + 24
    assert list(other_designations().values()).count("") == 10


def test_every_designation_and_name_leads_to_an_object() -> None:
    own = {thing.designation for thing in objects()}
    assert {target for target in other_designations().values() if target} - own == set()
    assert {target for _, target in common_names()} - own == set()
    assert set(NOTES) - own == set()
    assert set(other_designations()) & own == set()


def test_designations_are_unique_and_found() -> None:
    count = Counter(thing.designation for thing in objects())
    assert [designation for designation, times in count.items() if times > 1] == []
    some = objects()[::97]
    assert [thing.designation for thing in some if find_object(thing.designation) != thing] == []


def test_objects_lie_in_the_constellation_they_say() -> None:
    # The boundaries of Delporte (1930) as catalogued by N. Roman (1987), which come with Skyfield. The places are
    # rounded and the table's words are older, so an object on a boundary may say the neighbour.
    arrays = object_arrays()
    constellation_at = load_constellation_map()
    there = constellation_at(position_of_radec(arrays.ra_hours, arrays.dec_deg))
    said = np.array([thing.constellation for thing in objects()])
    different = [thing.designation for thing, same in zip(objects(), there == said, strict=True) if not same]
    assert len(said) > 13_000
    assert len(different) <= 5, different


def test_sizes_and_angles_make_sense() -> None:
    odd = [
        thing.designation
        for thing in objects()
        if (thing.minor_arcmin or 0) > (thing.major_arcmin or 0)
        or not 0 <= (thing.position_angle_deg or 0) <= 180
        or not (0 <= thing.ra_hours < 24 and -90 <= thing.dec_deg <= 90)
    ]
    assert odd == []


def test_unknown_is_none_and_not_zero() -> None:
    assert [t.designation for t in objects() if 0 in (t.major_arcmin, t.minor_arcmin, t.v_mag, t.b_mag)] == []
    coalsack = find_object("Coalsack")
    assert coalsack.magnitude is None
    assert coalsack.band is None


def test_every_type_occurs() -> None:
    assert {thing.type for thing in objects()} == set(ObjectType)


@pytest.mark.parametrize(
    ("name", "kind"),
    [  # handbooks; common knowledge
        ("M 31", ObjectType.GALAXY),
        ("M 13", ObjectType.GLOBULAR_CLUSTER),
        ("M 45", ObjectType.OPEN_CLUSTER),
        ("M 57", ObjectType.PLANETARY_NEBULA),
        ("M 1", ObjectType.SUPERNOVA_REMNANT),
        ("M 40", ObjectType.DOUBLE_STAR),
        ("M 78", ObjectType.REFLECTION_NEBULA),
        ("M 42", ObjectType.CLUSTER_WITH_NEBULA),
        ("Horsehead Nebula", ObjectType.DARK_NEBULA),
    ],
)
def test_types_of_well_known_objects(name: str, kind: ObjectType) -> None:
    assert find_object(name).type is kind


def test_arrays_hold_what_the_objects_say() -> None:
    arrays = object_arrays()
    assert arrays.designations == tuple(thing.designation for thing in objects())
    assert arrays.types == tuple(thing.type for thing in objects())
    assert_allclose(arrays.ra_hours, [thing.ra_hours for thing in objects()], rtol=0)
    assert_allclose(arrays.dec_deg, [thing.dec_deg for thing in objects()], rtol=0)
    assert_array_equal(arrays.magnitude, np.array([thing.magnitude for thing in objects()], dtype=float))
    assert_array_equal(arrays.is_v, [thing.band == "V" for thing in objects()])
    assert_array_equal(
        arrays.major_arcmin, np.array([thing.major_arcmin for thing in objects()], dtype=float)
    )
    assert_array_equal(
        arrays.minor_arcmin, np.array([thing.minor_arcmin for thing in objects()], dtype=float)
    )
    surface = np.array([thing.surface_brightness for thing in objects()], dtype=float)
    assert_array_equal(arrays.surface_brightness, surface)


def test_arrays_cannot_be_changed_by_one_user_for_the_next() -> None:
    arrays = object_arrays()
    with pytest.raises(ValueError, match="read-only"):
        arrays.magnitude[0] = 0
    with pytest.raises(ValueError, match="read-only"):
        arrays.ra_hours[0] = 0


@pytest.mark.parametrize("table", ["deepsky.csv", "deepsky_designations.csv", "deepsky_names.csv"])
def test_every_table_names_its_source_and_licence(table: str) -> None:
    start = (TABLES / table).read_text(encoding="utf-8")[:700]
    assert "OpenNGC" in start
    assert "Mattia Verga" in start
    assert "CC-BY-SA-4.0" in start


def test_the_licence_stands_beside_the_tables() -> None:
    text = (TABLES / "deepsky-LICENSE.txt").read_text(encoding="utf-8")
    assert "Attribution-ShareAlike 4.0 International Public License" in text
    assert "Mattia Verga" in text
