"""Time zones: the nearest to a place, and those that a part of a name means."""

import pytest

from obslog.errors import ObslogError, UnknownZone
from obslog.grammar.zone_words import (
    NoSuchNumber,
    SeveralZones,
    apart_deg,
    nearest_zones,
    offset_words,
    place_of_zone,
    stray_hours,
    zone_meant,
    zone_places,
)
from obslog.times import standard_offset_hours


@pytest.mark.parametrize(
    ("zone", "words"),
    [
        ("UTC", "UTC"),
        ("Europe/London", "UTC, in summer UTC+1"),
        ("Australia/Sydney", "UTC+10, in summer UTC+11"),
        ("Asia/Kathmandu", "UTC+5:45"),
        ("America/St_Johns", "UTC-3:30, in summer UTC-2:30"),
    ],
)
def test_the_hours_of_a_zone_in_words(zone: str, words: str) -> None:
    assert offset_words(zone) == words


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "zone", "among"),
    [
        (52.2, 0.12, "Europe/London", 1),
        (40.4, -3.7, "Europe/Madrid", 1),
        (59.3, 18.1, "Europe/Stockholm", 1),
        (34.0, -118.2, "America/Los_Angeles", 1),
        (-33.9, 18.4, "Africa/Johannesburg", 2),
        (-45.87, 170.5, "Pacific/Auckland", 2),
        (-13.8, -171.8, "Pacific/Apia", 1),  # east of the date line by its hours, west by its longitude
    ],
)
def test_the_zone_of_a_place_is_among_the_nearest(
    lat_deg: float, lon_deg: float, zone: str, among: int
) -> None:
    assert zone in [place.zone for place in nearest_zones(lat_deg, lon_deg, among)]


def test_each_zone_is_the_nearest_to_its_own_place() -> None:
    for place in zone_places():
        nearest = nearest_zones(place.lat_deg, place.lon_deg, 1)[0]
        assert (nearest.lat_deg, nearest.lon_deg) == (place.lat_deg, place.lon_deg), place.zone


def test_no_zone_is_listed_whose_hours_do_not_fit_the_longitude() -> None:
    listed = nearest_zones(10.0, 0.0, 500)
    assert 100 < len(listed) < len(zone_places())
    assert max(abs(standard_offset_hours(place.zone)) for place in listed) <= 3.5


@pytest.mark.parametrize(
    ("text", "zone"),
    [
        ("2", "Europe/Paris"),
        ("Europe/London", "Europe/London"),
        ("europe/london", "Europe/London"),
        ("lond", "Europe/London"),
        ("new york", "America/New_York"),
        ("york", "America/New_York"),
        ("São Paulo", "America/Sao_Paulo"),
        ("paris", "Europe/Paris"),
        ("denmark", "Europe/Copenhagen"),
        ("britain", "Europe/London"),
        ("utc", "UTC"),
    ],
)
def test_a_zone_is_meant_by_its_number_by_any_part_of_its_name_or_by_its_country(
    text: str, zone: str
) -> None:
    assert zone_meant(text, ["Europe/London", "Europe/Paris"]) == zone


@pytest.mark.parametrize(
    ("text", "failure", "said"),
    [
        ("3", NoSuchNumber, "There is no number 3"),
        ("0", NoSuchNumber, "There is no number 0"),
        ("germany", SeveralZones, "Europe/Berlin, Europe/Busingen"),
        ("america", SeveralZones, " more"),
        ("Atlantis", UnknownZone, "Atlantis"),
        ("", UnknownZone, "There is no time zone"),
    ],
)
def test_what_means_no_one_zone_is_refused(text: str, failure: type[ObslogError], said: str) -> None:
    with pytest.raises(failure, match=said):
        zone_meant(text, ["Europe/London", "Europe/Paris"])


def test_the_place_of_a_zone_is_that_of_the_table() -> None:
    """Of `zone.tab`: GB +513030-0000731 is 51° 30' 30" N, 0° 7' 31" W; Auckland -3652+17446."""
    london, auckland = place_of_zone("Europe/London"), place_of_zone("Pacific/Auckland")
    assert london is not None
    assert auckland is not None
    assert (london.lat_deg, london.lon_deg) == pytest.approx((51 + 30.5 / 60, -(7 + 31 / 60) / 60))
    assert (auckland.lat_deg, auckland.lon_deg) == pytest.approx((-(36 + 52 / 60), 174 + 46 / 60))
    assert place_of_zone("UTC") is None


@pytest.mark.parametrize(
    ("places", "apart"),
    [((0, 0, 0, 90), 90), ((90, 0, -90, 50), 180), ((0, 179, 0, -179), 2), ((45, 10, 46, 10), 1)],
)
def test_the_angle_between_two_places(places: tuple[float, float, float, float], apart: float) -> None:
    assert apart_deg(*places) == pytest.approx(apart)


@pytest.mark.parametrize(
    ("zone", "lon_deg", "hours"),
    [
        ("UTC", 30.0, 2.0),
        ("UTC", -30.0, 2.0),
        ("Pacific/Apia", -165.0, 0.0),
        ("Pacific/Auckland", -174.0, 0.4),
    ],
)
def test_how_far_a_zone_strays_from_the_sun_goes_round_the_globe(
    zone: str, lon_deg: float, hours: float
) -> None:
    """-165° is 11 h behind Greenwich, which is 13 h ahead of it a day later."""
    assert stray_hours(zone, lon_deg) == pytest.approx(hours)
