"""The fit in words: signs, knobs, shims, what is not said, and what a suspect would fit."""

import numpy as np
import pytest

from obslog.pointing.joint_fit.estimates import MechanicalFit, SetupFit, Suspect
from obslog.pointing.joint_fit.suspects import fitting_readings
from obslog.pointing.joint_fit.words import (
    adjuster_words,
    mechanical_words,
    polar_words,
    shim_mm,
    unsaid_words,
)
from obslog.pointing.model.geometry import AxisErrors, line_of_sight
from obslog.values import Estimate
from obslog.vocabulary import MountType

GERMAN, ALTAZ = MountType.GERMAN, MountType.ALTAZ


def setup(altitude, azimuth, determined=True):
    up, side = Estimate(altitude, 2.0, 5, determined), Estimate(azimuth, 2.4, 5, determined)
    return SetupFit(up, side, Estimate(np.hypot(altitude, azimuth), 2.0, 5, True), np.eye(2), 5, 2.0, ())


def mechanical(cone, determined=True):
    vague = Estimate(1.0, 9.0, 4, False)
    return MechanicalFit(
        Estimate(cone, 0.5, 40, determined), vague, Estimate(1.23, 0.21, 40, True), vague, np.eye(3)
    )


def test_the_polar_axis_of_a_night_in_one_sentence():
    assert polar_words(setup(-14.0, 6.0), GERMAN) == "polar axis 14' ± 2' too low and 6' ± 2' too far east"


def test_the_knobs_turn_against_the_error():
    assert adjuster_words(setup(-14.0, 6.0), GERMAN) == [
        "Turn the altitude adjuster to bring the axis up by 14' ± 2'.",
        "Turn the azimuth adjuster to bring the axis west by 6' ± 2'.",
    ]
    assert adjuster_words(setup(3.0, -3.0), GERMAN) == []  # within the uncertainty
    assert adjuster_words(setup(40.0, 0.0, determined=False), GERMAN) == []


def test_a_base_that_leans_north_is_raised_on_its_north_side():
    assert polar_words(setup(30.0, -12.0), ALTAZ) == "base 30' ± 2' leaning north and 12' ± 2' leaning west"
    assert adjuster_words(setup(30.0, -12.0), ALTAZ) == [
        "Raise the north side of the base by 30' ± 2'.",
        "Raise the west side of the base by 12' ± 2'.",
    ]


def test_what_the_arrivals_do_not_tell_is_not_said():
    assert (
        polar_words(setup(3.0, 4.0, determined=False), GERMAN) == "polar axis: not determined by the arrivals"
    )
    lines = mechanical_words(mechanical(12.1), GERMAN)
    assert lines[1] == "squareness: not determined yet (±9' from 4 arrivals)"


def test_published_shim():
    # Practice table 2.3, row 15: ring spacing x tan(half the flip difference): 60' at 200 mm is 1.75 mm.
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


@pytest.mark.parametrize(
    ("written", "predicted", "words"),
    [
        ((30.0, 12.0), (-30.5, 11.0), "east and west were exchanged"),
        ((30.0, 12.0), (29.0, -12.5), "north and south were exchanged"),
        ((30.0, 12.0), (-29.0, -12.5), "measured from the star"),
        ((30.0, 12.0), (12.2, 29.0), "changed places"),
        ((0.5, -0.2), (31.0, -12.0), "degrees were written"),
        ((250.0, -40.0), (25.2, -4.4), "decimal point slipped right"),
    ],
)
def test_a_slip_of_the_pen_is_recognised(written, predicted, words):
    east, north = np.subtract(written, predicted)
    readings = fitting_readings(
        Suspect(3, 0.99, east, north, False), written[0], written[1], noise_arcmin=2.0
    )
    assert words in readings[0].words
    assert "another star" in readings[-1].words


def test_a_doubted_centring_can_only_be_another_star():
    (reading,) = fitting_readings(Suspect(0, 0.99, 50.0, -30.0, True), np.nan, np.nan, noise_arcmin=2.0)
    assert reading.words == "if another star was taken: one 50' east and 30' south of the right one"
