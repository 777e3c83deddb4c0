"""Stars are found however their name is typed, and the table is what its sources say."""

import subprocess
import sys
from unicodedata import normalize

import pytest

from obslog.sky.names.star_tables import all_stars
from obslog.sky.names.stars import UnknownStar, find_star, star_or_none


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


@pytest.mark.parametrize(
    "text", ["", " ", "--", "HIP", "HIP 0", "alf", "Lyr", "α", "12", "alf Xyz", "0 Cas", "00 And", "0And"]
)
def test_what_is_no_star_is_none(text: str) -> None:
    assert star_or_none(text) is None


@pytest.mark.parametrize(
    ("text", "name"),
    [  # other names in atlases and controllers; common knowledge
        ("Becrux", "Mimosa"), ("Etamin", "Eltanin"), ("Deneb Kaitos", "Diphda"), ("Gemma", "Alphecca"),
        ("Sirrah", "Alpheratz"), ("Agena", "Hadar"), ("Phad", "Phecda"), ("Rigel Kent", "Rigil Kentaurus"),
        ("Benetnash", "Alkaid"), ("North Star", "Polaris"), ("HR 7001", "Vega"), ("hr7001", "Vega"),
        ("58 Ori", "Betelgeuse"), ("9 CMa", "Sirius"), ("gamma Cas", "γ Cas"), ("27 Cas", "γ Cas"), ("Navi", "γ Cas"),
        ("HIP 4427", "γ Cas"), ("gamma Velorum", "γ2 Vel"), ("beta Hydri", "β Hyi"), ("tau Cet", "τ Cet"),
        ("70 Vir", "70 Vir"), ("15 Monocerotis", "15 Mon"), ("51 Peg", "Helvetios"), ("36 Oph", "Guniibuu"),
        ("pi And", "π And"), ("29 And", "π And"), ("12 Aquilae", "12 Aql"), ("HIP 39863", "ζ Mon"),
        ("delta And", "δ And"), ("Alula Australis", "Alula Australis"), ("xi UMa", "Alula Australis"),
    ],
)  # fmt: skip
def test_older_names_numbers_and_letters_are_known(text: str, name: str) -> None:
    assert find_star(text).name == name


def test_the_iau_decides_what_a_name_means_that_older_lists_give_to_another_star() -> None:
    assert find_star("Algenib").designation == "γ Peg"
    assert find_star("Gienah").designation == "γ Crv"
    assert find_star("Toliman").hip == 71681


def test_finding_a_star_loads_no_mathematics() -> None:
    code = (
        "import sys; from obslog.sky.names.stars import find_star; find_star('Vega');"
        "print([m for m in ('numpy', 'skyfield', 'scipy', 'sqlalchemy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
