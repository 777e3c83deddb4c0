"""What a name in the sky means: a body, else a star, else a deep-sky object."""

import pytest

from obslog.sky.names.coordinates import SkyPoint
from obslog.sky.names.deepsky import AmbiguousObject, DeepSkyObject
from obslog.sky.names.lookup import KindNotKnown, UnknownInSky, find_in_sky, found_or_none, nearest_in_sky
from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import Star


@pytest.mark.parametrize(
    ("typed", "name", "kind"),
    [
        ("jupiter", "Jupiter", Body),
        ("the moon", "Moon", Body),
        ("alpha lyrae", "Vega", Star),
        ("VEGA", "Vega", Star),
        ("m31", "M 31", DeepSkyObject),
        ("NGC 224", "M 31", DeepSkyObject),
        ("omega Cen", "NGC 5139", DeepSkyObject),
        ("ω Cen", "NGC 5139", DeepSkyObject),
        ("47 Tuc", "NGC 104", DeepSkyObject),
        ("5h35m -5d23m", "5h35.0m -5°23'", SkyPoint),
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


@pytest.mark.parametrize(
    ("typed", "nearest"),
    [
        ("Dumbell nebula", "Dumbbell Nebula"), ("Betelguese", "Betelgeuse"), ("Andromida Galaxy", "Andromeda Galaxy"),
        ("Jupitar", "Jupiter"), ("Becruz", "Becrux"), ("Whirlpol Galaxy", "Whirlpool Galaxy"),
    ],
)  # fmt: skip
def test_the_hint_is_the_nearest_of_stars_objects_and_planets_alike(typed: str, nearest: str) -> None:
    with pytest.raises(UnknownInSky) as caught:
        find_in_sky(typed)
    assert caught.value.nearest[0] == nearest


def test_at_most_three_names_are_hinted_at() -> None:
    assert len(nearest_in_sky("Alnait")) == 3
    assert nearest_in_sky("") == nearest_in_sky("?") == []


@pytest.mark.parametrize("typed", ["HIP 999999", "HR 99999", "HD 5"])
def test_a_number_that_is_not_known_gets_no_name_as_a_hint(typed: str) -> None:
    with pytest.raises(UnknownInSky) as caught:
        find_in_sky(typed)
    assert caught.value.nearest == []


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("C/2023 A3", "comets"), ("12P/Pons-Brooks", "comets"), ("Comet Lemmon", "comets"), ("Halley", "comets"),
        ("Ceres", "minor planets"), ("(433) Eros", "minor planets"), ("Pluto", "minor planets"),
        ("Ganymede", "moons of planets"), ("Titan", "moons of planets"), ("Tycho", "features of the Moon"),
        ("crater Plato", "features of the Moon"), ("ISS", "satellites"),
    ],
)  # fmt: skip
def test_what_wanders_and_is_not_known_is_refused_in_words(typed: str, kind: str) -> None:
    with pytest.raises(KindNotKnown) as caught:
        find_in_sky(typed)
    assert f"{kind} are not known" in caught.value.message
    assert "coordinates" in caught.value.hint
    assert found_or_none(typed) is None


@pytest.mark.parametrize(
    ("typed", "name"),
    [  # common knowledge
        ("Melotte 20", "Mel 20"), ("Alpha Persei Cluster", "Mel 20"), ("Cr 39", "Mel 20"), ("Mel 13", "NGC 869"),
        ("Mel 88", "M 44"), ("Cr 256", "Mel 111"), ("Stock 2", "Stock 2"), ("Collinder 70", "Cr 70"),
        ("Trumpler 16", "Tr 16"), ("Barnard 86", "B 86"), ("Snake Nebula", "B 72"), ("Andromeda Nebula", "M 31"),
        ("Hubble's Variable Nebula", "NGC 2261"), ("Running Chicken", "IC 2944"), ("Witch's Broom", "NGC 6960"),
        ("Eta Car Nebula", "NGC 3372"), ("tau CMa cluster", "NGC 2362"), ("Trapezium", "θ1 Ori"),
        ("Double Double", "ε1 Lyr"), ("Proxima", "Proxima Centauri"), ("alpha Cen A", "Rigil Kentaurus"),
        ("kappa Cas", "κ Cas"), ("Great Nebula in Orion", "M 42"), ("Salt and Pepper", "M 37"),
    ],
)  # fmt: skip
def test_names_that_people_use(typed: str, name: str) -> None:
    assert find_in_sky(typed).name == name


@pytest.mark.parametrize("text", ["", "  ", "Vegga", "\u2603"])
def test_a_name_that_is_nothing_is_refused_in_words(text: str) -> None:
    with pytest.raises(UnknownInSky, match="There is no star or object") as caught:
        find_in_sky(text)
    assert "obslog sky find" in caught.value.hint
