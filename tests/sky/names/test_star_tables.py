"""What the tables of stars say of each, and when they are read."""

import math
import subprocess
import sys

import pytest

from obslog.sky.names.constellations import all_constellations
from obslog.sky.names.star_tables import all_stars
from obslog.sky.names.stars import find_star


def test_every_star_of_the_table_has_a_name_or_a_letter() -> None:
    assert [star.name for star in all_stars() if star.name.startswith("HIP ")] == []
    lettered = [star for star in all_stars() if not star.is_named]
    # 251 bright stars had no letter: seven of them have a name, and one is none (HIP 26551).
    assert len(lettered) == 251 - 7 - 1
    assert all(star.band == "V" and star.magnitude < 4.1 for star in lettered)
    assert {star.constellation for star in all_stars()} <= set(all_constellations())


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
        "from obslog.sky.names import star_tables, stars; stars.find_star('Vega'); stars.find_star('gam Cas');"
        "stars.star_or_none('Dumbbell'); print(star_tables._faint_table.cache_info().currsize)"
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
