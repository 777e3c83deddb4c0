"""Stars are found however their name is typed, and the table is what its sources say."""

import subprocess
import sys
from unicodedata import normalize

import pytest

from obslog.sky.names.constellations import all_constellations
from obslog.sky.names.stars import UnknownStar, all_stars, find_star, star_or_none


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Vega", "Vega"),
        ("  vEGA ", "Vega"),
        ("rigilkentaurus", "Rigil Kentaurus"),
        ("barnards star", "Barnard's Star"),
        ("alf Lyr", "Vega"),
        ("alp Lyr", "Vega"),
        ("alpha Lyrae", "Vega"),
        ("ALPHA LYRA", "Vega"),
        ("α Lyr", "Vega"),
        ("Α Lyr", "Vega"),  # capital alpha
        ("alpha Boötis", "Arcturus"),
        ("alpha bootis", "Arcturus"),
        (normalize("NFD", "alpha Boötis"), "Arcturus"),
        ("HIP 91262", "Vega"),
        ("hip91262", "Vega"),
        ("tet01 Eri", "Acamar"),
        ("theta1 Eridani", "Acamar"),
        ("θ¹ Eri", "Acamar"),
        ("θ₁ Eri", "Acamar"),
        ("80 UMa", "Alcor"),
        ("alf02 Cap", "Algedi"),
        ("alpha Canum Venaticorum", "Cor Caroli"),
        ("sigma Octantis", "Polaris Australis"),
        ("ksi And", "Adhil"),
        ("xi And", "Adhil"),
    ],
)
def test_a_star_is_found_however_it_is_typed(text: str, name: str) -> None:
    assert find_star(text).name == name


def test_a_shared_designation_means_the_brightest() -> None:
    assert find_star("alf Cen").name == "Rigil Kentaurus"
    assert find_star("alpha Capricorni").name == "Algedi"


def test_every_star_is_found_by_its_name_and_by_its_number() -> None:
    for star in all_stars():
        assert find_star(star.name) is star
        assert find_star(f"HIP {star.hip}") is star


def test_an_unknown_name_gets_the_three_nearest() -> None:
    with pytest.raises(UnknownStar) as error:
        find_star("Bettelgeuze")
    assert error.value.nearest[0] == "Betelgeuse"
    assert len(error.value.nearest) == 3
    assert "Betelgeuse" in error.value.hint
    assert error.value.exit_code == 2


@pytest.mark.parametrize("text", ["", " ", "--", "HIP", "HIP 0", "alf", "Lyr", "α", "12", "alf Xyz"])
def test_what_is_no_star_is_none(text: str) -> None:
    assert star_or_none(text) is None


def test_unnamed_bright_stars_are_known_by_number() -> None:
    unnamed = [star for star in all_stars() if star.name.startswith("HIP ")]
    assert unnamed
    assert all(star.band == "Hp" and star.magnitude < 4.0 for star in unnamed)
    assert {star.constellation for star in all_stars()} <= set(all_constellations())


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("Rigil Kentaurus", "Toliman"),  # the two of alpha Centauri
        ("Algedi", "HIP 100027"),  # alpha 2 and alpha 1 Capricorni, 6' apart
        ("Xamidimura", "Pipirima"),  # mu 1 and mu 2 Scorpii, 6' apart
    ],
)
def test_a_star_beside_one_of_like_brightness_says_so(name: str, other: str) -> None:
    assert find_star(name).too_close_to == other


@pytest.mark.parametrize("name", ["Vega", "Arcturus", "Sirius", "Mizar"])
def test_a_star_that_stands_out_is_not_flagged(name: str) -> None:
    assert find_star(name).too_close_to is None


def test_finding_a_star_loads_no_mathematics() -> None:
    code = (
        "import sys; from obslog.sky.names.stars import find_star; find_star('Vega');"
        "print([m for m in ('numpy', 'skyfield', 'scipy', 'sqlalchemy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
