"""Which magnitude is trusted: by hand, and with the numbers of named galaxies."""

import math

import pytest

from builders.deepsky_magnitudes import Visual, b_from_surface, usual_colour, visual_magnitude


def assert_near(found: Visual, magnitude: float, source: str) -> None:
    assert found.magnitude == pytest.approx(magnitude)
    assert found[1] == source


def test_v_is_taken_where_it_agrees_with_b() -> None:
    assert visual_magnitude(9.5, 10.2, None, 0.7) == (9.5, "V")
    assert visual_magnitude(9.5, 10.6, None, 0.7) == (9.5, "V")  # 0.4 off


def test_b_less_the_usual_colour_where_v_is_fainter_than_b() -> None:
    # NGC 253 in the source: V 11.11, B 7.94, surface 22.42 over 26.79' by 4.58'. RC3: V 7.2.
    surface = b_from_surface(22.42, 26.79, 4.58)
    assert surface == pytest.approx(22.42 - 2.5 * math.log10(math.pi * 26.79 * 4.58 / 4 * 3600) - 0.41)
    assert_near(visual_magnitude(11.11, 7.94, surface, 0.7), 7.24, "from B")


def test_b_too_where_v_is_far_too_bright() -> None:
    # IC 127: V 9.2, B 14.83, surface 23.47 over 1.69' by 0.45'.
    assert_near(visual_magnitude(9.2, 14.83, b_from_surface(23.47, 1.69, 0.45), 0.7), 14.13, "from B")


def test_v_where_the_surface_speaks_for_it() -> None:
    # NGC 676 lies behind a bright star that is in its B: V 12.0, B 10.16, surface 21.29 over 2.75' by 0.69'.
    assert visual_magnitude(12.0, 10.16, b_from_surface(21.29, 2.75, 0.69), 0.88) == (12.0, "V")


def test_what_is_not_known_is_not_made_up() -> None:
    assert visual_magnitude(None, None, None, 0.7) == (None, None)
    assert visual_magnitude(None, 8.0, None, None) == (None, None)  # the light of lines has no usual colour
    assert b_from_surface(22.0, None, 1.0) is None


def test_b_and_then_the_surface_stand_in_for_an_unknown_v() -> None:
    assert_near(visual_magnitude(None, 13.7, 14.0, 0.7), 13.0, "from B")
    assert_near(visual_magnitude(None, None, 14.0, 0.7), 13.3, "from surface brightness")


def test_where_dust_reddens_v_is_not_judged_by_b() -> None:
    assert visual_magnitude(8.0, 10.1, None, 0.7, judged=False) == (8.0, "V")


@pytest.mark.parametrize(
    ("kind", "hubble", "colour"),
    [
        ("G", "E", 0.95), ("G", "SABbc", 0.63), ("G", "SBm", 0.42), ("G", None, 0.7), ("OCl", None, 0.4),
        ("PN", None, None),
    ],
)  # fmt: skip
def test_usual_colours(kind: str, hubble: str | None, colour: float | None) -> None:
    assert usual_colour(kind, hubble) == colour
