"""What `optics` shows, read back from the screen and held against the arithmetic of the trade."""

from math import cos, log10, pi, radians, tan
from pathlib import Path

import pytest

from tests.cli.conftest import EVENING
from tests.cli.screens import screens


@pytest.fixture(scope="module")
def on_record(club_file: Path) -> dict[str, str]:
    """The club; nothing here writes."""
    return {"OBSLOG_DB": str(club_file)}


def test_the_numbers_are_those_of_the_textbook(on_record: dict[str, str]) -> None:
    # The tube has 212 mm of aperture and 1000 mm of focal length; the eyepiece 25 mm and 53 degrees.
    for barlow in (1, 2):
        power = 1000 * barlow / 25
        for shown in screens(on_record, EVENING, "optics", "long tube", "wide 25", "--barlow", str(barlow)):
            assert shown.lines[0] == "Long tube with Wide 25"
            assert shown.in_order(
                f"magnification {power:.0f}x",
                f"true field {60 * 53 / power:.1f}' ({53 / power:.2f}°), from the apparent field",
                f"exit pupil {212 / power:.1f} mm",
                f"focal ratio f/{1000 * barlow / 212:.1f}" if barlow == 1 else "focal ratio f/",
                # Dawes 116 and Rayleigh 138 over the millimetres of aperture (1.22 x 550 nm / D is 138.4 / D).
                f'double stars {116 / 212:.2f}" (Dawes), {1.22 * 550e-6 / 212 * 180 / pi * 3600:.2f}" (Rayleigh)',
                f"faintest star {9.1 + 5 * log10(212 / 25.4):.1f}, for an eye that sees 6.5 mag by itself",
                f"{2 + 5 * log10(212):.1f}, as targets takes it",
            )
            assert "by drift" not in shown.words


def test_a_field_stop_and_a_drift_give_the_field(on_record: dict[str, str]) -> None:
    # A star moves 15.041 arcseconds a second of time at the equator, and cos(declination) of that elsewhere.
    field = 100 * 15.041 / 60 * cos(radians(60))
    words = ("optics", "Long tube", "Stop 20", "--drift", "100", "--dec", "60")
    for shown in screens(on_record, EVENING, *words):
        assert f"true field {60 * 20 / 1000 * 180 / pi:.1f}'"[:13] in shown.words
        assert "from the field stop" in shown.words
        stop = 2 * 1000 * tan(radians(field / 60) / 2)
        assert f"by drift: true field {field:.1f}', a field stop of {stop:.1f} mm;" in shown.words
        assert shown.words.endswith(f'obslog eyepiece edit "Stop 20" --field-stop-mm {stop:.1f}')
