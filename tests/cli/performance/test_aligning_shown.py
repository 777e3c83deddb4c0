"""Stars to sync on, pointing runs, drifts and mistakes, read back at every width and held against records by hand."""

import re
from functools import partial
from typing import Any

import pytest

from obslog.cli.aligning import Causes, show_causes, show_drifts, show_run_plan, show_stars
from obslog.club.aligning.drift_alignment import DriftPage, OneDrift
from obslog.club.aligning.sync_star_plan import Expected, RunPage, StarPlan
from obslog.pointing.mistakes.posterior import LikelyCause
from obslog.pointing.mistakes.prior import NO_PAST
from obslog.values import Estimate
from obslog.vocabulary import Cause, PierSide
from tests.cli.checklist.briefings import star
from tests.cli.conftest import EVENING
from tests.cli.program import Program
from tests.cli.screens import screens, shown_by

STEPS = ("", "star", "mag", "altitude °", "azimuth °", "tube")
LANDINGS = ("then half within '", "95 % within '", "in the field %")
DRIFTS = ("star", "hour angle h", "dec °", "minutes", "drift north '", "alone it says", "field turns °")
STARS = [star(1, "Capella", 71.4, 280.3, PierSide.EAST), star(2, "Regulus", 35.6, 121.7, PierSide.WEST)]


def a_plan(**changed: Any) -> StarPlan:
    landings = [Expected(31.26, 70.04, 0.404), Expected(7.44, 15.66, None)]
    values: dict[str, Any] = {
        "mount": "Heron", "tube": "Long tube", "stars": STARS, "expected_landing_arcmin": landings[-1],
        "after_each": landings, "flips": 1, "basis": ["from 8 set-ups"], "caution": None,
    }  # fmt: skip
    return StarPlan(**(values | changed))


def test_the_stars_stand_in_their_order_with_what_each_sync_brings() -> None:
    for shown in shown_by(lambda screen: show_stars(screen, (a_plan(), "Heron at Mill Field"))):
        assert shown.lines[:2] == ["Heron at Mill Field", "  from 8 set-ups"]
        assert [list(row.values()) for row in shown.rows(*STEPS, *LANDINGS)] == [
            ["1", "Capella", "1.0", "71", "280", "east", "31.3", "70.0", "40"],
            ["2", "Regulus", "1.0", "36", "122", "west", "7.4", "15.7", ""],
        ]
    for shown in shown_by(lambda screen: show_stars(screen, (a_plan(caution="The Sun."), "Heron"))):
        assert shown.lines[0] == "CAUTION. The Sun."


def test_a_long_basis_stays_indented_where_it_is_wrapped() -> None:
    plan = a_plan(basis=["only the last sync counts, " * 5])
    for shown in shown_by(lambda screen: show_stars(screen, (plan, "Heron"))):
        assert all(line.startswith("  ") for line in shown.lines[1 : shown.lines.index("")])


def test_a_run_says_how_well_it_would_tell_what() -> None:
    run: dict[str, Any] = {
        "mount": "Heron", "stars": STARS, "minutes": 41.6, "caution": None,
        "sd_arcmin": {"cone": 1.26, "squareness": 2.5, "sag": 4.04},
    }  # fmt: skip
    told = "It would tell cone error to ±1.3', squareness to ±2.5', sag to ±4.0'. Well enough to judge the mount by: "
    for determines, words in ((["cone", "sag"], "cone error, sag."), ([], "none of them.")):
        page = RunPage(**run, determines=determines)
        for shown in shown_by(partial(show_run_plan, plan=page)):
            assert shown.in_order(
                "Pointing run of Heron: sync on the first star, check the others, about 42 min", told + words
            )
            assert [list(row.values()) for row in shown.rows(*STEPS)][:2] == [
                ["1", "Capella", "1.0", "71", "280", "east"], ["2", "Regulus", "1.0", "36", "122", "west"],
            ]  # fmt: skip


def a_drift(name: str, hour_angle: float, north: float, turned: float | None) -> OneDrift:
    return OneDrift(
        star=name, hour_angle_hours=hour_angle, dec_deg=-8.66, minutes=10.0, drift_north_arcmin=north,
        meaning="axis too far west", rotation_deg=turned,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("altitude", "azimuth", "words"),
    [
        (Estimate(12.26, 1.04, 2, True), Estimate(-30.5, 2.0, 2, True),
         "polar altitude: 12.3' ± 1.0' too high polar azimuth: 30.5' ± 2.0' too far west"),
        (Estimate(-12.26, 1.04, 2, True), Estimate(30.5, 2.0, 2, True),
         "polar altitude: 12.3' ± 1.0' too low polar azimuth: 30.5' ± 2.0' too far east"),
        (Estimate(3.0, 50.0, 2, False), Estimate(0.0, 1.0, 2, True),
         "polar altitude: not determined by these drifts polar azimuth: 0.0' ± 1.0' too far east"),
    ],
)  # fmt: skip
def test_drifts_are_told_with_their_signs_and_the_axis_in_words(
    altitude: Estimate, azimuth: Estimate, words: str
) -> None:
    drifts = [a_drift("Procyon", -0.256, 2.5, -0.126), a_drift("Alphard", 5.0, -1.04, None)]
    page = DriftPage(site="Tarn", drifts=drifts, polar_altitude=altitude, polar_azimuth=azimuth, caution=None)
    for shown in shown_by(lambda screen: show_drifts(screen, page)):
        assert [list(row.values()) for row in shown.rows(*DRIFTS)][:2] == [
            ["Procyon", "-0.26", "-8.7", "10", "+2.5", "axis too far west", "-0.13"],
            ["Alphard", "+5.00", "-8.7", "10", "-1.0", "axis too far west", ""],
        ]
        assert shown.words.endswith(words)


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
        found = re.search(r"polar azimuth: ([\d.]+)' ± ([\d.]+)' too far (east|west)", shown.words)
        assert found
        # The drift of one star also holds what little of the altitude error its middle away from the meridian brings.
        assert float(found[1]) == pytest.approx(expected, rel=0.05)
        assert found[3] == "west"
        assert "polar altitude: not determined by these drifts" in shown.words


def a_cause(n: int, probability: float) -> LikelyCause:
    return LikelyCause(
        cause=Cause.CLOCK,
        probability=probability,
        what=f"What {n}",
        remedy=f"Mend {n}.",
        look_at=f"The clock {n}.",
    )


def test_the_likeliest_causes_are_told_with_chances_that_are_never_certain() -> None:
    causes = [a_cause(0, 0.994), a_cause(1, 0.99), a_cause(2, 0.386), a_cause(3, 0.01), a_cause(4, 0.0099)]
    for shown in shown_by(lambda screen: show_causes(screen, Causes(causes, None, NO_PAST), 5)):
        assert shown.words.startswith("> 99 % What 0 Mend 0. Look at this to be certain: the clock 0.")
        assert shown.in_order("> 99 % What 0", "99 % What 1", "39 % What 2", "1 % What 3", "< 1 % What 4")
    for shown in shown_by(lambda screen: show_causes(screen, Causes(causes, "The Sun.", NO_PAST), 2)):
        assert shown.lines[0] == "CAUTION. The Sun."
        assert "What 1" in shown.words
        assert "What 2" not in shown.words
