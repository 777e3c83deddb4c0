"""The fit in words: signs, knobs, shims, and what is not said."""

import numpy as np
import pytest

from obslog.pointing.joint_fit.answer import MechanicalFit, PolarFit
from obslog.pointing.joint_fit.words import (
    adjuster_words,
    mechanical_words,
    polar_words,
    shim_mm,
    unsaid_words,
)
from obslog.pointing.model.geometry import AxisErrors, line_of_sight
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType

GERMAN, ALTAZ = MountType.GERMAN, MountType.ALTAZ


def setup(altitude, azimuth, determined=True):
    up, side = Estimate(altitude, 2.0, 5, determined), Estimate(azimuth, 2.4, 5, determined)
    return PolarFit(
        polar_altitude=up,
        polar_azimuth=side,
        separation=Estimate(np.hypot(altitude, azimuth), 2.0, 5, True),
        covariance=np.eye(2),
        arrivals=5,
        rms_arcmin=2.0,
        suspects=(),
    )


def mechanical(cone, determined=True):
    vague = Estimate(1.0, 9.0, 4, False)
    return MechanicalFit(
        cone=Estimate(cone, 0.5, 40, determined),
        squareness=vague,
        sag=Estimate(1.23, 0.21, 40, True),
        noise=vague,
        covariance=np.eye(3),
    )


def test_the_polar_axis_of_a_night_in_one_sentence():
    assert polar_words(setup(-14.0, 6.0), GERMAN) == "polar axis 14' ± 2' too low and 6' ± 2' too far east"


def test_the_knobs_turn_against_the_error():
    assert adjuster_words(setup(-14.0, 6.0), GERMAN) == [
        "Turn the altitude adjuster to bring the axis up by 14' ± 2'.",
        "Turn the azimuth adjuster to bring the axis west by 6' ± 2' of azimuth.",
    ]
    assert adjuster_words(setup(3.0, -3.0), GERMAN) == []  # within the uncertainty
    assert adjuster_words(setup(40.0, 0.0, determined=False), GERMAN) == []


def test_a_base_that_leans_north_is_raised_on_its_north_side():
    assert polar_words(setup(30.0, -12.0), ALTAZ) == "base 30' ± 2' leaning north and 12' ± 2' leaning west"
    assert adjuster_words(setup(30.0, -12.0), ALTAZ) == [
        # By hand: an arcminute is 1 in 3438, 0.29 mm of a metre.
        "Raise the north side of the base by 30' ± 2' (9 mm for each metre between the feet).",
        "Raise the west side of the base by 12' ± 2' (3 mm for each metre between the feet).",
    ]


def test_what_the_arrivals_do_not_tell_is_not_said():
    assert (
        polar_words(setup(3.0, 4.0, determined=False), GERMAN) == "polar axis: not determined by the arrivals"
    )
    lines = mechanical_words(mechanical(12.1), GERMAN)
    assert lines[1] == "squareness: not determined yet (±9' from 4 arrivals)"


def test_a_shim_is_the_spacing_times_the_tangent_of_the_cone():
    # By hand: a flip that moves a star by 60' says a cone of 30', and 200 mm x tan 30' = 1.745 mm.
    assert shim_mm(30.0, 200.0) == pytest.approx(1.75, abs=0.005)


def test_the_shim_turns_the_line_of_sight_back():
    # Cone + leans outward. The shim lifts its ring away from the saddle, outward: under the rear ring the
    # tail goes out and the front comes in.
    assert mechanical_words(mechanical(12.1), GERMAN, "March", 200.0)[0] == (
        "cone error 12.1' ± 0.5' (since March): shim the rear ring by 0.7 mm"
    )
    assert mechanical_words(mechanical(-12.1), GERMAN, None, 200.0)[0] == (
        "cone error -12.1' ± 0.5': shim the front ring by 0.7 mm"
    )
    outward = line_of_sight(0.0, 0.0, 50.0, GERMAN, AxisErrors(cone_arcmin=12.1))
    assert outward[1] > 0  # tube east of the pier: outward is east
    assert "shim" not in mechanical_words(mechanical(12.1), MountType.FORK, None, 200.0)[0]
    assert "shim" not in mechanical_words(mechanical(0.4), GERMAN, None, 200.0)[0]


def test_two_stars_that_would_settle_it():
    words = unsaid_words(["squareness"], "Vega", "Dubhe", "squareness", 2.34)
    assert words == (
        "squareness not determined yet: after tonight's sync, check Vega and then Dubhe; "
        "that would bring squareness to ±2'."
    )


def small_setup(altitude, azimuth):
    up, side = Estimate(altitude, 0.1, 5, True), Estimate(azimuth, 0.1, 5, True)
    return PolarFit(
        polar_altitude=up,
        polar_azimuth=side,
        separation=Estimate(np.hypot(altitude, azimuth), 0.1, 5, True),
        covariance=np.eye(2),
        arrivals=5,
        rms_arcmin=0.2,
        suspects=(),
    )


@pytest.mark.parametrize(
    ("altitude", "azimuth", "knobs", "legs"),
    [
        (0.5, 0.5, ["down", "west"], ["north", "east"]),
        (-0.5, -0.5, ["up", "east"], ["south", "west"]),
    ],
)
def test_errors_under_an_arcminute_are_turned_the_right_way_too(altitude, azimuth, knobs, legs):
    turned = adjuster_words(small_setup(altitude, azimuth), GERMAN)
    assert [way in line.split() for way, line in zip(knobs, turned, strict=True)] == [True, True]
    raised = adjuster_words(small_setup(altitude, azimuth), ALTAZ)
    assert [line.startswith(f"Raise the {leg} side") for leg, line in zip(legs, raised, strict=True)] == [
        True,
        True,
    ]


def test_an_error_of_just_two_sd_is_not_clear_of_zero():
    assert adjuster_words(setup(4.0, 4.8), GERMAN) == []
    assert len(adjuster_words(setup(4.1, 4.9), GERMAN)) == 2


def test_an_error_of_nought_has_the_first_of_the_two_words():
    assert polar_words(setup(0.0, 0.0), GERMAN) == "polar axis 0' ± 2' too high and 0' ± 2' too far east"
