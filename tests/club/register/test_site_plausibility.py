"""Longitude and zone are held against each other: 15° an hour, and what law makes them stray."""

import pytest

from obslog.club.register.site_plausibility import DoubtfulLongitude, check_site, standard_offset_hours
from obslog.errors import UnknownZone


@pytest.mark.parametrize(
    ("zone", "hours"),
    [
        ("UTC", 0.0),
        ("Europe/London", 0.0),
        ("America/New_York", -5.0),
        ("Australia/Sydney", 10.0),  # summer time there is in January
        ("Asia/Kathmandu", 5.75),
        ("Africa/Johannesburg", 2.0),
    ],
)
def test_the_offset_of_a_zone_is_that_without_summer_time(zone: str, hours: float) -> None:
    """Published offsets: the zones' own laws."""
    assert standard_offset_hours(zone) == hours


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
