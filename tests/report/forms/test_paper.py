"""The sizes of papers, by their standards."""

import pytest

from obslog.report.forms.paper import WRITING_MM, PaperSize


def test_a4_is_a_sixteenth_of_a_square_metre_with_sides_as_the_root_of_two() -> None:
    width, height = PaperSize.A4.size_mm
    assert width * height == pytest.approx(1e6 / 16, rel=0.003)  # ISO 216 rounds to whole millimetres
    assert height / width == pytest.approx(2**0.5, rel=0.001)


def test_letter_is_eight_and_a_half_by_eleven_inches() -> None:
    assert PaperSize.LETTER.size_mm == pytest.approx((8.5 * 25.4, 11 * 25.4))


def test_a_cold_hand_has_a_centimetre() -> None:
    assert WRITING_MM >= 10
