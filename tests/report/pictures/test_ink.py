"""Colours that can be read, and a red that keeps dark-adapted eyes dark."""

import re
from itertools import product

import pytest

from obslog.report.pictures.ink import RED, STYLES, Ink

TEXT, LINES = ("ink", "soft", "first", "warning"), ("first", "second", "third", "warning", "soft")


def luminance(colour: str) -> float:
    """Relative luminance of a colour in sRGB, as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_the_contrast_of_black_on_white_is_the_published_21() -> None:
    """WCAG 2.2, definition of contrast ratio: from 1 to 21; grey #767676 on white is the known 4.54."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize(("style", "role"), [*product(STYLES, TEXT)])
def test_text_reaches_four_and_a_half_to_one(style: str, role: str) -> None:
    ink = STYLES[style]
    assert contrast(ink.roles()[role], ink.paper) >= 4.5


@pytest.mark.parametrize(("style", "role"), [*product(STYLES, LINES)])
def test_lines_reach_three_to_one(style: str, role: str) -> None:
    ink = STYLES[style]
    assert contrast(ink.roles()[role], ink.paper) >= 3


@pytest.mark.parametrize("ink", STYLES.values(), ids=STYLES)
def test_no_two_roles_share_a_colour_and_all_are_written_alike(ink: Ink) -> None:
    colours = list(ink.roles().values())
    assert len(set(colours)) == len(colours)
    assert all(re.fullmatch("#[0-9a-f]{6}", colour) for colour in colours)


def test_the_red_style_has_neither_green_nor_blue() -> None:
    assert all(colour.endswith("0000") for colour in RED.roles().values())
