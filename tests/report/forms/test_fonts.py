"""The font of the sheets is there, and holds the signs of people's names."""

import subprocess
import sys
from typing import Any

import pytest
from fpdf import FPDF

from obslog.report.forms.fonts import BOLD, REGULAR, NoFont, font_file


@pytest.mark.parametrize("name", [REGULAR, BOLD])
def test_it_is_a_truetype_font_with_latin_greek_cyrillic_hebrew_and_arabic(name: str) -> None:
    pdf = FPDF()
    pdf.add_font("tried", "", font_file(name))
    font: Any = pdf.fonts["tried"]
    for sign in "éßłčÅα Ωжשم±°…":
        assert ord(sign) in font.cmap, sign
    font.ttfont.close()


def test_a_font_that_is_not_there_is_told_with_what_helps() -> None:
    with pytest.raises(NoFont, match="matplotlib") as refused:
        font_file("Nowhere.ttf")
    assert "html" in refused.value.hint


def test_matplotlib_is_not_loaded_to_find_it() -> None:
    script = (
        "import sys; from obslog.report.forms.fonts import REGULAR, font_file; font_file(REGULAR); "
        "sys.exit('matplotlib' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0
