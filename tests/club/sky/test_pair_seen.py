"""A double star among the targets, in numbers and in words."""

import pytest

from obslog.club.sky.pair_seen import pair_seen, pair_words
from obslog.sky.names.double_stars import Parted


def test_a_pair_is_told_with_both_limits_of_the_tube() -> None:
    # 116/100 and 138/100 arcseconds; Alrescha was 1.8" wide in 2020.
    pair = pair_seen("Alrescha", 100)
    assert pair is not None
    assert pair.dawes_arcsec == pytest.approx(1.16, abs=0.01)
    assert pair.rayleigh_arcsec == pytest.approx(1.38, abs=0.01)
    assert pair.parted is Parted.YES


@pytest.mark.parametrize(
    ("aperture_mm", "words"),
    [(60, "this tube does not part them"), (70, "this tube just parts them"), (100, "this tube parts them")],
)
def test_the_words_say_whether_the_tube_parts_them(aperture_mm: float, words: str) -> None:
    # Dawes 1.93", 1.66", 1.16"; Rayleigh 2.3", 1.97", 1.38".
    pair = pair_seen("Alrescha", aperture_mm)
    assert pair is not None
    assert f'1.8" apart in 2020; {words} (Dawes' in pair_words(pair)


def test_without_a_tube_nothing_is_said_of_it() -> None:
    pair = pair_seen("Albireo", None)
    assert pair is not None
    assert (pair.dawes_arcsec, pair.rayleigh_arcsec, pair.parted) == (None, None, None)
    assert pair_words(pair) == 'magnitudes 3.2 and 4.7, 34.6" apart in 2020, position angle 54°.'


def test_of_a_pair_that_turns_fast_no_direction_is_told() -> None:
    # Porrima's two go round in 169 years.
    pair = pair_seen("Porrima", None)
    assert pair is not None
    assert pair.position_angle_deg is None
    assert pair_words(pair) == 'magnitudes 3.5 and 3.5, 3.1" apart in 2022.'


@pytest.mark.parametrize("name", ["Vega", "M 31", "Jupiter"])
def test_other_things_are_no_pairs(name: str) -> None:
    assert pair_seen(name, 200) is None
