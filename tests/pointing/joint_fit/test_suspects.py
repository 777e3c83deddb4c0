"""The slips that would explain a suspect arrival, each by arithmetic of its own."""

import numpy as np
import pytest

from obslog.pointing.joint_fit.answer import Suspect
from obslog.pointing.joint_fit.suspects import fitting_readings

STAR = "if another star was taken: one "


def readings(written, predicted, noise_arcmin, at_centring=False):
    away = np.subtract(written, predicted)
    east, north = written
    return fitting_readings(a_suspect(away, at_centring=at_centring), east, north, noise_arcmin)


def a_suspect(away, *, at_centring):
    east, north = away
    return Suspect(arrival=3, probability=0.99, east_arcmin=east, north_arcmin=north, at_centring=at_centring)


@pytest.mark.parametrize(
    ("written", "predicted", "words"),
    [
        ((30.0, 12.0), (-30.0, 12.0), "if east and west were exchanged"),
        ((30.0, 12.0), (30.0, -12.0), "if north and south were exchanged"),
        ((30.0, 12.0), (-30.0, -12.0), "if the field centre was measured from the star"),
        ((30.0, 12.0), (12.0, 30.0), "if the two offsets changed places"),
        ((0.5, -0.2), (30.0, -12.0), "if degrees were written for arcminutes"),
        ((420.0, -180.0), (7.0, -3.0), "if arcseconds were written for arcminutes"),
        ((2.5, -0.4), (25.0, -4.0), "if the decimal point slipped left"),
        ((250.0, -40.0), (25.0, -4.0), "if the decimal point slipped right"),
    ],
)
def test_an_exact_slip_is_the_only_one_and_misses_by_nothing(written, predicted, words):
    found = readings(written, predicted, noise_arcmin=1e-3)
    assert [reading.words for reading in found[:-1]] == [words]
    assert found[0].miss_arcmin == pytest.approx(0.0, abs=1e-9)


def test_only_what_is_nearer_than_three_times_the_noise_is_told_the_nearest_first():
    # East and west exchanged misses by 5, by 3 and by 6; measured from the star by 4 more in the other direction.
    assert readings((30.0, 1.0), (-27.0, 5.0), 2.0)[0].miss_arcmin == pytest.approx(5.0)
    first, second, _ = readings((30.0, 1.0), (-30.0, 2.5), 2.0)
    assert (first.words, second.words) == (
        "if east and west were exchanged",
        "if the field centre was measured from the star",
    )
    assert (first.miss_arcmin, second.miss_arcmin) == (1.5, 3.5)
    assert len(readings((30.0, 12.0), (-24.0, 12.0), 2.0)) == 1  # six, which is not nearer than six


@pytest.mark.parametrize(
    ("away", "place"),
    [
        ((50.0, -30.0), "50' east and 30' south"),
        ((-50.0, 30.0), "50' west and 30' north"),
        ((0.0, 40.0), "0' east and 40' north"),
        ((40.0, 0.0), "40' east and 0' north"),
        ((0.4, -0.4), "0' east and 0' south"),
    ],
)
def test_another_star_would_stand_where_the_arrival_is_away_to(away, place):
    *_, last = fitting_readings(a_suspect(away, at_centring=True), np.nan, np.nan, noise_arcmin=2.0)
    assert last.words == f"{STAR}{place} of the right one"
    assert last.miss_arcmin == 0.0


def test_a_doubted_centring_can_only_be_another_star():
    assert [r.words[: len(STAR)] for r in readings((30.0, 12.0), (-30.0, 12.0), 2.0, at_centring=True)] == [
        STAR
    ]
