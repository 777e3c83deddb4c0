"""The axis in terms of its adjusters, and mechanics unlike the record: what is worth a line, and which way."""

from dataclasses import replace

import numpy as np
import pytest

from obslog.club.live.axis_answers import axis_answers, mechanics_answers
from obslog.pointing.tonight.mount_record import nothing_known
from obslog.vocabulary.mounts import MountType
from tests.club.live.fits import a_fit, known

RECORD = replace(
    nothing_known(), mechanical_mean=np.array([4.0, 0.0, 1.0]), mechanical_covariance=np.eye(3), setups=12
)
ANEW = (
    "; then begin a new set-up (setup start) and sync anew"  # the arrivals so far are of the axis as it was
)


def words(fit, mount_type=MountType.GERMAN, lat_deg=0.0):
    return [answer.words for answer in axis_answers(fit, mount_type, lat_deg)]


@pytest.mark.parametrize("lat_deg", [10.0, -10.0])
def test_the_axis_is_told_by_its_adjusters_in_both_hemispheres(lat_deg):
    west, east = (a_fit(polar_azimuth=known(size, 9.0)) for size in (-68.0, 68.0))
    turn = "turn the azimuth adjuster so that it points further"
    assert words(west, lat_deg=lat_deg) == [f"axis 68' ± 9' too far west: {turn} east{ANEW}"]
    assert words(east, lat_deg=lat_deg) == [f"axis 68' ± 9' too far east: {turn} west{ANEW}"]
    high, low = (a_fit(polar_altitude=known(size, 4.0)) for size in (50.0, -50.0))
    turn = "turn the altitude adjuster so that it points"
    assert words(high, lat_deg=lat_deg) == [f"axis 50' ± 4' too high: {turn} lower{ANEW}"]
    assert words(low, lat_deg=lat_deg) == [f"axis 50' ± 4' too low: {turn} higher{ANEW}"]


def test_a_base_is_told_by_the_side_that_is_to_be_raised():
    leans = a_fit(polar_altitude=known(60.0, 4.0), polar_azimuth=known(-70.0, 4.0))
    assert words(leans, MountType.ALTAZ, 52.0) == [
        f"base leans 60' ± 4' to the north: raise its north side{ANEW}",
        f"base leans 70' ± 4' to the west: raise its west side{ANEW}",
    ]


def test_only_what_is_surely_beyond_the_tolerance_is_worth_a_line():
    # 30' are allowed, and two and a half sd of 4' beyond them: from 40' on
    assert words(a_fit(polar_altitude=known(39.0, 4.0))) == []
    assert len(words(a_fit(polar_altitude=known(41.0, 4.0)))) == 1
    assert words(a_fit(polar_altitude=known(41.0, 9.0))) == []


def test_azimuth_counts_by_what_it_is_on_the_sky():
    # at 66 degrees 70' of the adjuster are 28' of the sky
    far = a_fit(polar_azimuth=known(70.0, 3.0))
    assert len(words(far, lat_deg=0.0)) == 1
    assert len(words(far, lat_deg=66.0)) == 0


def test_an_axis_that_no_adjuster_mends_points_to_what_was_keyed_in():
    far = a_fit(polar_azimuth=known(-500.0, 12.0))
    assert words(far, MountType.ALTAZ) == [
        "base seems to lean 8.3° ± 0.2°: more likely the time, date or place keyed in is wrong; then align anew"
    ]
    assert words(far)[0].startswith("axis 8.3° ± 0.2° too far west: point it at the pole again")
    both = a_fit(polar_altitude=known(200.0, 12.0), polar_azimuth=known(-500.0, 12.0))
    assert words(both) == words(far)


def test_a_cone_error_unlike_the_record_is_told_beside_it():
    (told,) = mechanics_answers(a_fit(cone=known(25.0, 3.0)), RECORD)
    assert told.words.startswith("cone error 25' ± 3' tonight, 4' ± 1' on record: ")
    assert told.size_arcmin == 25.0
    (sagging,) = mechanics_answers(a_fit(sag=known(9.0, 1.0)), RECORD)
    assert sagging.about == "sag"


def test_mechanics_within_their_uncertainty_without_record_or_with_a_doubtful_arrival_are_passed_over():
    # sqrt(3^2 + 1^2) = 3.2': three and a half of it are 11'
    assert mechanics_answers(a_fit(cone=known(14.0, 3.0)), RECORD) == []
    assert mechanics_answers(a_fit(cone=known(25.0, 3.0)), replace(RECORD, setups=0)) == []
    doubtful = np.array([np.nan, 0.01, 0.4, 0.01, 0.01, 0.01])
    assert mechanics_answers(a_fit(cone=known(25.0, 3.0), wrong_arrival=doubtful), RECORD) == []
    few = np.array([np.nan, 0.01, 0.01, 0.01, np.nan, np.nan])
    assert mechanics_answers(a_fit(cone=known(25.0, 3.0), wrong_arrival=few), RECORD) == []
