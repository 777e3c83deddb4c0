"""Letters and numbers that were typed in belong to the stars that they are written beside."""

import math
from collections import Counter
from itertools import pairwise

import pytest

from obslog.sky.evening.moving_bodies import constellation_at
from obslog.sky.names.coordinates import precessed_to_j2000
from obslog.sky.names.stars import Star, all_stars, find_star

# Flamsteed numbered the stars of a constellation by right ascension at the equinox of 1690, with some slips.
FLAMSTEED_YEAR = 1690.0
KNOWN_SLIPS = 2


def ra_then(star: Star) -> float:
    """Right ascension at the equinox of 1690, from that of J2000: the way from 2310 to 2000, turned round."""
    moved, _ = precessed_to_j2000(star.ra_hours, star.dec_deg, 2 * 2000 - FLAMSTEED_YEAR)
    return moved


def test_the_constellation_of_every_lettered_star_is_that_of_its_place() -> None:
    lettered = [star for star in all_stars() if not star.is_named]
    found = constellation_at([s.ra_hours for s in lettered], [s.dec_deg for s in lettered])
    assert [s.name for s, c in zip(lettered, found, strict=True) if c != s.constellation] == []


def test_no_designation_is_of_two_stars() -> None:
    # Alpha Centauri's two stars have records of their own.
    letters = Counter((s.bayer, s.constellation) for s in all_stars() if s.bayer)
    assert [key for key, count in letters.items() if count > 1] == [("α", "Cen")]
    numbers = Counter((s.flamsteed, s.constellation) for s in all_stars() if s.flamsteed)
    assert [key for key, count in numbers.items() if count > 1] == []


def test_a_typed_letter_is_of_the_brightest_star_in_its_place() -> None:
    bright = all_stars()
    for star in (s for s in bright if not s.is_named):
        near = [
            other for other in bright
            if other is not star and other.magnitude < star.magnitude
            and abs(other.dec_deg - star.dec_deg) < 1 / 3
            and abs(other.ra_hours - star.ra_hours) * 15 * math.cos(math.radians(star.dec_deg)) < 1 / 3
        ]  # fmt: skip
        assert [other.name for other in near] == [], star.name


def test_flamsteeds_numbers_rise_with_right_ascension() -> None:
    slips = []
    for constellation in {star.constellation for star in all_stars()}:
        numbered = sorted(
            (int(star.flamsteed), ra_then(star), star.name)
            for star in all_stars()
            if star.flamsteed and star.constellation == constellation
        )
        first = numbered[0][1] if numbered else 0.0
        turned = [(number, (ra - first + 6) % 24, name) for number, ra, name in numbered]
        for (_, before, _), (_, after, name) in pairwise(turned):
            if after < before - 1 / 60:
                slips.append(name)
    assert len(slips) <= KNOWN_SLIPS, slips


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
