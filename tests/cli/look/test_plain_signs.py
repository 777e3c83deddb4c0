"""The signs of the plain look."""

import pytest

from obslog.cli.look.plain_signs import plain_signs


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("12.5° ± 0.3°", "12.5 deg +/- 0.3 deg"),
        ("12.5 °, so", "12.5 deg, so"),
        ("5°C", "5 deg C"),
        ("45°12′", "45 deg 12'"),
        ("−3 × 2 … “so”", '-3 x 2 ... "so"'),
        ("──●──", "--*--"),
        ("Terraço dos Furtado, α Lyr", "Terraço dos Furtado, α Lyr"),
        ("plain already", "plain already"),
    ],
)
def test_signs_become_ascii_and_letters_stay(text: str, plain: str) -> None:
    assert plain_signs(text) == plain
