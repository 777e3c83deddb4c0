"""Letters and numbers that were typed in belong to the stars that they are written beside."""

import csv
import math
from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest

from builders import make_stars
from obslog.sky.evening.moving_bodies import constellation_at
from obslog.sky.names.coordinates import precessed_to_j2000
from obslog.sky.names.star_tables import Star, all_stars
from obslog.sky.names.stars import find_star

# Flamsteed numbered the stars of a constellation by right ascension at the equinox of 1690, with some slips.
FLAMSTEED_YEAR = 1690.0
SLIPS = {"Sualocin", "δ Per", "ξ Cyg", "α Cam", "5 UMi"}
"""Stars that stand before the one with the next lower number: 9 Del, 39 Per, 62 Cyg (61 has moved far since), 9 Cam.
Of 5 UMi and Polaris, which is 1, neither is before the other: they are half a circle apart."""
WIDE_PAIRS = {
    "30 Cyg": ["ο1 Cyg"], "α1 Cap": ["Algedi"], "ε1 Lyr": ["ε2 Lyr"], "ω2 Sco": ["ω1 Sco"],
    "θ2 Ori": ["HIP 26220", "θ1 Ori", "HIP 26224"],
}  # fmt: skip


def lettered() -> list[Star]:
    """Every star with a letter or a number: the bright table, and what was typed in for the faint one."""
    with Path(make_stars.HERE, "star_designations.csv").open(encoding="utf-8", newline="") as file:
        typed = [
            find_star(f"HIP {row['hip']}")
            for row in csv.DictReader(line for line in file if not line.startswith("#"))
        ]
    return list(dict.fromkeys([*all_stars(), *typed]))


def ra_then(star: Star) -> float:
    """Right ascension at the equinox of 1690, from that of J2000: the way from 2310 to 2000, turned round."""
    moved, _ = precessed_to_j2000(star.ra_hours, star.dec_deg, 2 * 2000 - FLAMSTEED_YEAR)
    return moved


def test_the_constellation_of_every_lettered_star_is_that_of_its_place() -> None:
    unnamed = [star for star in lettered() if not star.is_named]
    found = constellation_at([s.ra_hours for s in unnamed], [s.dec_deg for s in unnamed])
    assert [s.name for s, c in zip(unnamed, found, strict=True) if c != s.constellation] == []


def test_a_letter_stands_in_the_table_under_the_constellation_that_was_typed() -> None:
    with Path(make_stars.HERE, "star_designations.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            star = find_star(f"HIP {row['hip']}")
            assert star.constellation == row["constellation"], row
            assert star.is_named or star.designation.split()[0] == (row["bayer"] or row["flamsteed"]), row


def test_no_designation_is_of_two_stars() -> None:
    # Alpha Centauri's two stars have records of their own.
    letters = Counter((s.bayer, s.constellation) for s in lettered() if s.bayer)
    assert [key for key, count in letters.items() if count > 1] == [("α", "Cen")]
    numbers = Counter((s.flamsteed, s.constellation) for s in lettered() if s.flamsteed)
    assert [key for key, count in numbers.items() if count > 1] == []


def test_a_typed_letter_is_of_the_brightest_star_in_its_place() -> None:
    with (make_stars.TABLES / "stars_faint.csv").open(encoding="utf-8", newline="") as file:
        faint = csv.DictReader(line for line in file if not line.startswith("#"))
        every = [*all_stars(), *(find_star(f"HIP {row['hip']}") for row in faint)]
    brighter_near = {
        star.name: [
            other.name for other in every
            if other.hip != star.hip and other.magnitude < star.magnitude
            and abs(other.dec_deg - star.dec_deg) < 1 / 3
            and abs(other.ra_hours - star.ra_hours) * 15 * math.cos(math.radians(star.dec_deg)) < 1 / 3
        ]
        for star in lettered() if not star.is_named
    }  # fmt: skip
    # The fainter star of a wide pair has a designation of its own.
    assert {name: near for name, near in brighter_near.items() if near} == WIDE_PAIRS


def test_flamsteeds_numbers_rise_with_right_ascension() -> None:
    slips = set()
    stars = lettered()
    for constellation in {star.constellation for star in stars}:
        numbered = sorted(
            (int(star.flamsteed), ra_then(star), star.name)
            for star in stars
            if star.flamsteed and star.constellation == constellation
        )
        for (_, before, _), (_, after, name) in pairwise(numbered):
            if (after - before + 12) % 24 - 12 < -1 / 60:
                slips.add(name)
    assert slips == SLIPS


@pytest.mark.parametrize(
    ("name", "ra_hours", "dec_deg"),
    [  # from memory of atlases, to a quarter of a degree
        ("γ Cas", 0.945, 60.72), ("β Hyi", 0.43, -77.25), ("ζ Her", 16.69, 31.60), ("κ Sco", 17.71, -39.03),
        ("α Lup", 14.70, -47.39), ("δ Cyg", 19.75, 45.13), ("ε Cas", 1.91, 63.67), ("θ UMa", 9.55, 51.68),
    ],
)  # fmt: skip
def test_where_well_known_lettered_stars_stand(name: str, ra_hours: float, dec_deg: float) -> None:
    star = find_star(name)
    assert star.ra_hours == pytest.approx(ra_hours, abs=0.02)
    assert star.dec_deg == pytest.approx(dec_deg, abs=0.25)
