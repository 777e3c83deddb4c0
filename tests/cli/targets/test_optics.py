"""What a tube shows with an eyepiece, on the screen and for scripts; and a field measured by a star's drift."""

from math import atan, cos, degrees, radians, tan

import pytest

from tests.cli.program import Program

VIEW = ("optics", "Long tube", "Wide 25")
ARCSEC_PER_S = 15.041067  # the Earth turns once in 86,164.0905 s


@pytest.mark.parametrize(("seconds", "dec_deg"), [(240, 0), (240, 60), (240, -60), (75.5, 19.2)])
def test_a_field_by_drift_is_the_seconds_times_the_skys_turning(
    in_club: Program, seconds: float, dec_deg: float
) -> None:
    """So many seconds of 15.041" each, along a parallel that is cos(declination) of the equator."""
    by_drift = in_club.document(*VIEW, "--drift", str(seconds), "--dec", str(dec_deg))["by_drift"]
    arcmin = seconds * ARCSEC_PER_S * cos(radians(dec_deg)) / 60
    assert by_drift["true_field_arcmin"] == pytest.approx(arcmin, rel=1e-4)
    stop_mm = 2 * 1000 * tan(radians(by_drift["true_field_arcmin"] / 60 / 2))
    assert by_drift["field_stop_mm"] == pytest.approx(stop_mm, rel=1e-6)


def test_the_drift_is_told_with_the_command_that_keeps_it(in_club: Program) -> None:
    """240 s on the equator: 240 x 15.041" = 60.2'; in a tube of 1000 mm that is a stop of 17.5 mm."""
    shown = in_club.must(*VIEW, "--drift", "240").out.splitlines()
    keep = 'obslog eyepiece edit "Wide 25" --field-stop-mm 17.5'
    assert shown[-1] == f"by drift: true field 60.2', a field stop of 17.5 mm; to keep it: {keep}"
    assert "drift" not in in_club.must(*VIEW).out
    assert in_club.document(*VIEW)["by_drift"] is None


def test_what_is_kept_is_the_field_from_then_on(in_club: Program) -> None:
    in_club.must("eyepiece", "edit", "Wide 25", "--field-stop-mm", "17.5")
    view = in_club.document(*VIEW)["view"]
    assert view["true_field_deg"] == pytest.approx(2 * degrees(atan(17.5 / 2000)), rel=1e-6)
    assert "60.2' (1.00°), from the field stop" in in_club.must(*VIEW).out


def test_the_view_is_told_in_the_words_of_the_trade(in_club: Program) -> None:
    """212 mm by 1000 mm with 25 mm: 40x, 53/40 = 1.325 deg = 79.5', 212/40 = 5.3 mm, f/4.7, 116/212 = 0.55"."""
    shown = dict(line.split("\t", 1) for line in in_club.must(*VIEW).out.splitlines() if "\t" in line)
    assert (shown["magnification"], shown["exit pupil"], shown["focal ratio"]) == ("40x", "5.3 mm", "f/4.7")
    assert shown["true field"].startswith("79.5' (1.32°), from the ")
    assert shown["double stars"].startswith('0.55" (Dawes), 0.65" (Rayleigh)')  # 138 / 212
    assert "13.6, as targets takes it" in shown["faintest star"]  # 2 + 5 log10 212


@pytest.mark.parametrize(
    "options",
    [("--drift", "0"), ("--drift", "3601"), ("--drift", "60", "--dec", "86"), ("--drift", "nan")],
)
def test_a_drift_that_measures_nothing_is_refused(in_club: Program, options: tuple[str, ...]) -> None:
    answer = in_club(*VIEW, *options)
    assert (answer.code, answer.out, len(answer.error_lines)) == (2, "", 2)
