"""Stars are found however their name is typed, and the table is what its sources say."""

import math
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


def test_every_star_of_the_table_has_a_name_or_a_letter() -> None:
    assert [star.name for star in all_stars() if star.name.startswith("HIP ")] == []
    lettered = [star for star in all_stars() if not star.is_named]
    # 251 bright stars had no letter: seven of them have a name, and one is none (HIP 26551).
    assert len(lettered) == 251 - 7 - 1
    assert all(star.band == "V" and star.magnitude < 4.1 for star in lettered)
    assert {star.constellation for star in all_stars()} <= set(all_constellations())


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


@pytest.mark.parametrize(
    ("hip", "ra_hours", "dec_deg", "magnitude"),
    [  # 61 Cygni, Groombridge 1830, from memory of handbooks
        (104214, 21 + 6.9 / 60, 38.75, 5.21),
        (57939, 11 + 53.0 / 60, 37.72, 6.44),
    ],
)
def test_stars_to_magnitude_six_and_a_half_are_known_by_number(
    hip: int, ra_hours: float, dec_deg: float, magnitude: float
) -> None:
    star = find_star(f"HIP {hip}")
    assert (star.hip, star.is_named) == (hip, False)
    assert star.ra_hours == pytest.approx(ra_hours, abs=0.01)
    assert star.dec_deg == pytest.approx(dec_deg, abs=0.1)
    assert star.magnitude == pytest.approx(magnitude, abs=0.06)


@pytest.mark.parametrize(
    ("name", "magnitude"),
    [  # the light of both stars of a close pair, from memory of handbooks
        ("Castor", 1.58), ("Acrux", 0.77), ("Algieba", 2.0), ("Porrima", 2.74), ("Mesarthim", 3.88),
        ("HIP 103569", 5.23),  # Epsilon Equulei
        ("Rigil Kentaurus", -0.27), ("Rasalgethi", 2.78), ("Alula Australis", 3.79), ("Cor Caroli", 2.81),
    ],
)  # fmt: skip
def test_a_close_pair_is_as_bright_as_both_its_stars(name: str, magnitude: float) -> None:
    star = find_star(name)
    assert star.magnitude == pytest.approx(magnitude, abs=0.05)
    assert star.magnitude_from in ("together", "Hp")


def test_a_crowded_group_does_not_count_its_light_twice() -> None:
    """HR 8281 is of 5.62 in handbooks; the Trapezium's stars of 5.13, 6.73, 6.70 and 7.96 make 4.66 (from memory)."""
    assert find_star("HIP 106886").magnitude == pytest.approx(5.62, abs=0.1)
    trapezium = -2.5 * math.log10(sum(10 ** (-0.4 * magnitude) for magnitude in (5.13, 6.73, 6.70, 7.96)))
    assert find_star("41 Ori").magnitude == pytest.approx(trapezium, abs=0.1)


def test_a_quick_name_does_not_read_the_faint_stars() -> None:
    code = (
        "from obslog.sky.names import stars; stars.find_star('Vega'); stars.find_star('gam Cas');"
        "stars.star_or_none('Dumbbell'); print(stars._faint_table.cache_info().currsize)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "0"


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("Rigil Kentaurus", "Toliman"),  # the two of alpha Centauri
        ("Algedi", "α1 Cap"),  # alpha 2 and alpha 1 Capricorni, 6' apart
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
