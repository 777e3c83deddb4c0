"""Drifts and the axis that they tell, read back at every width; and the arithmetic of the trade."""

import re

import pytest

from obslog.cli.aligning.drifts import show_drifts
from obslog.club.aligning.drift_alignment import DriftPage, OneDrift
from obslog.values import Estimate
from tests.cli.conftest import EVENING
from tests.cli.program import Program
from tests.cli.screens import screens, shown_by

DRIFTS = ("star", "hour angle h", "dec °", "minutes", "drift north '", "alone it says", "field turns °")


def a_drift(name: str, hour_angle: float, north: float, turned: float | None) -> OneDrift:
    return OneDrift(
        star=name, hour_angle_hours=hour_angle, dec_deg=-8.66, minutes=10.0, drift_north_arcmin=north,
        meaning="axis too far west", rotation_deg=turned,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("altitude", "azimuth", "words"),
    [
        (Estimate(12.26, 1.04, 2, True), Estimate(-30.5, 2.0, 2, True),
         "polar altitude: 12.3' ± 1.0' too high polar azimuth: 30.5' ± 2.0' of azimuth too far west"),
        (Estimate(-12.26, 1.04, 2, True), Estimate(30.5, 2.0, 2, True),
         "polar altitude: 12.3' ± 1.0' too low polar azimuth: 30.5' ± 2.0' of azimuth too far east"),
        (Estimate(3.0, 50.0, 2, False), Estimate(0.0, 1.0, 2, True),
         "polar altitude: not determined by these drifts polar azimuth: 0.0' ± 1.0' of azimuth too far east"),
    ],
)  # fmt: skip
def test_drifts_are_told_with_their_signs_and_the_axis_in_words(
    altitude: Estimate, azimuth: Estimate, words: str
) -> None:
    drifts = [a_drift("Procyon", -0.256, 2.5, -0.126), a_drift("Alphard", 5.0, -1.04, None)]
    page = DriftPage(
        site="Tarn",
        drifts=drifts,
        polar_altitude=altitude,
        polar_azimuth=azimuth,
        adjusters=["Turn it."],
        caution=None,
    )
    for shown in shown_by(lambda screen: show_drifts(screen, page)):
        assert [list(row.values()) for row in shown.rows(*DRIFTS)][:2] == [
            ["Procyon", "-0.26", "-8.7", "10", "+2.5", "axis too far west", "-0.13"],
            ["Alphard", "+5.00", "-8.7", "10", "-1.0", "axis too far west", ""],
        ]
        assert shown.words.endswith(f"{words} Turn it.")


def test_what_a_drift_tells_is_the_arithmetic_of_the_trade(in_club: Program) -> None:
    # On the meridian a star drifts north where the axis points too far west: an azimuth error of A turns it by
    # A cos(latitude) sin(15.041 degrees an hour x t). 10 minutes are 0.04376 of the radian; cos 52.2 degrees is 0.6129.
    expected = 2.5 / (0.6129 * 0.04376)
    for shown in screens(
        in_club.environment,
        EVENING,
        "pointing",
        "drift",
        "0h/0 10 2.5N",
        "--site",
        "Mill Field",
        "--reading",
        "0.1",
    ):
        found = re.search(r"polar azimuth: ([\d.]+)' ± ([\d.]+)' of azimuth too far (east|west)", shown.words)
        assert found
        # The drift of one star also holds what little of the altitude error its middle away from the meridian brings.
        assert float(found[1]) == pytest.approx(expected, rel=0.05)
        assert found[3] == "west"
        assert "polar altitude: not determined by these drifts" in shown.words
