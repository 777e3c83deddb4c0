"""What a name in the sky means: a body, else a star, else a deep-sky object."""

import pytest

from obslog.sky.names.deepsky import AmbiguousObject, DeepSkyObject
from obslog.sky.names.lookup import UnknownInSky, find_in_sky, found_or_none
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import Star


@pytest.mark.parametrize(
    ("typed", "name", "kind"),
    [
        ("jupiter", "Jupiter", Body),
        ("the moon", "Moon", Body),
        ("alpha lyrae", "Vega", Star),
        ("VEGA", "Vega", Star),
        ("m31", "M 31", DeepSkyObject),
        ("NGC 224", "M 31", DeepSkyObject),
    ],
)
def test_a_name_is_found_under_the_name_that_people_use(typed: str, name: str, kind: type) -> None:
    found = find_in_sky(typed)
    assert (found.name, type(found.thing)) == (name, kind)
    assert found_or_none(typed) == found


def test_a_slip_is_answered_with_the_nearest_star_first_and_with_where_to_look() -> None:
    with pytest.raises(UnknownInSky, match="'Regullus B'") as caught:
        find_in_sky("Regullus B")
    assert caught.value.nearest[0] == "Regulus"
    assert "Did you mean Regulus" in caught.value.hint
    assert caught.value.hint.endswith("obslog sky find Regullus")
    assert found_or_none("Regullus B") is None


def test_what_is_like_no_star_is_answered_with_the_nearest_objects() -> None:
    with pytest.raises(UnknownInSky) as caught:
        find_in_sky("NGC 70000")
    assert caught.value.nearest
    assert all(find_in_sky(near) for near in caught.value.nearest)


@pytest.mark.parametrize("typed", ["", "   "])
def test_nothing_is_the_name_of_nothing(typed: str) -> None:
    with pytest.raises(UnknownInSky) as caught:
        find_in_sky(typed)
    assert caught.value.hint.endswith("obslog sky find PART-OF-ITS-NAME")


def test_a_name_of_several_objects_is_asked_about_or_none() -> None:
    with pytest.raises(AmbiguousObject):
        find_in_sky("helix")
    assert found_or_none("helix") is None
