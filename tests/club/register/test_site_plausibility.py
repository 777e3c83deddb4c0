"""A place and its zone are held against each other: 15° an hour, what law makes them stray, and how far off it lies."""

import pytest

from obslog.club.register.site_plausibility import DoubtfulLongitude, DoubtfulPlace, check_site
from obslog.errors import UnknownZone
from obslog.grammar.zone_words import zone_places


@pytest.mark.parametrize(
    ("zone", "lon_deg"),
    [
        ("Europe/Madrid", -8.9),  # Galicia, 1.6 h from its zone
        ("Asia/Shanghai", 75.99),  # Kashgar, 2.9 h from its zone
        ("UTC", 52.5),  # 3.5 h, the widest believed
        ("UTC", -52.5),
        ("Europe/London", None),
    ],
)
def test_places_within_the_widest_stray_are_believed(zone: str, lon_deg: float | None) -> None:
    check_site(zone, lon_deg)


@pytest.mark.parametrize(
    ("zone", "lon_deg", "hint"),
    [
        ("America/New_York", 74.0, "did you mean -74?"),
        ("Australia/Sydney", -151.2, "did you mean 151.2?"),
        ("Europe/London", 120.0, "Check both"),
        ("UTC", 52.6, "Check both"),
    ],
)
def test_a_longitude_far_from_its_zone_is_doubted_and_a_wrong_sign_is_guessed(
    zone: str, lon_deg: float, hint: str
) -> None:
    with pytest.raises(DoubtfulLongitude, match=zone) as caught:
        check_site(zone, lon_deg)
    assert hint in caught.value.hint
    check_site(zone, lon_deg, sure=True)


def test_nothing_is_held_against_a_site_without_a_zone_and_an_unknown_zone_is_refused() -> None:
    check_site(None, 74.0)
    with pytest.raises(UnknownZone):
        check_site("Europe/Cambridge", None, sure=True)


@pytest.mark.parametrize(
    ("zone", "lat_deg", "lon_deg", "meant"),
    [
        ("Europe/London", 0.12, 52.2, "52.2° north, 0.12° east"),  # longitude first
        ("Pacific/Auckland", 45.87, 170.5, "45.87° south, 170.5° east"),
        ("Europe/Madrid", -40.4, -3.7, "40.4° north, 3.7° west"),
    ],
)
def test_a_place_that_a_slip_has_put_far_from_its_zone_is_doubted_and_the_right_one_guessed(
    zone: str, lat_deg: float, lon_deg: float, meant: str
) -> None:
    with pytest.raises(DoubtfulPlace) as caught:
        check_site(zone, lon_deg, lat_deg)
    assert f"Did you mean {meant}?" in caught.value.hint
    check_site(zone, lon_deg, lat_deg, sure=True)


@pytest.mark.parametrize(
    ("zone", "lat_deg", "lon_deg"),
    [
        ("Asia/Shanghai", 39.5, 75.99),  # Kashgar, 37° from the place of its zone
        ("America/New_York", 25.8, -80.2),  # Miami
        ("Pacific/Auckland", -45.9, 170.5),
        ("Europe/London", 52.2, 2.9),
        ("UTC", -78.0, 10.0),
    ],
)
def test_a_place_that_is_only_far_from_that_of_its_zone_is_believed(
    zone: str, lat_deg: float, lon_deg: float
) -> None:
    check_site(zone, lon_deg, lat_deg)


def test_no_zone_is_doubted_at_its_own_place() -> None:
    """Samoa and Chatham too, whose hours are those of the other side of the date line."""
    for place in zone_places():
        check_site(place.zone, place.lon_deg, place.lat_deg)
