"""The pole star and the dark hours in words: degrees from straight up, the nearest hour, and what comes or does not."""

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.pole import pole_now
from obslog.club.sky.sky_words import (
    dark_words,
    from_straight_up,
    horizon_words,
    moon_words,
    pole_views,
    pole_words,
    twilight_words,
)
from obslog.club.sky.sun_and_moon import sun_and_moon
from obslog.values import Place

LONDON = ZoneInfo("Europe/London")
OXFORD = ObservingSite("Oxford", Place(51.75, -1.25, 60.0), LONDON)
TROMSO = ObservingSite("Tromsø", Place(69.65, 18.96, 10.0), ZoneInfo("Europe/Oslo"))


@pytest.mark.parametrize(
    ("dial_hours", "words"),
    [
        # A clock's hand moves 30 degrees an hour, clockwise from straight up.
        (0.9, "27° clockwise of straight up, near 1 o'clock"),
        (0.0, "straight up, at 12 o'clock"),
        (11.999, "straight up, at 12 o'clock"),
        (3.0, "90° clockwise of straight up, at 3 o'clock"),
        (6.0, "straight down, at 6 o'clock"),
        (6.9, "153° anticlockwise of straight up, near 7 o'clock"),
        (11.1, "27° anticlockwise of straight up, near 11 o'clock"),
        (11.9, "3° anticlockwise of straight up, near 12 o'clock"),
        (0.2, "6° clockwise of straight up, near 12 o'clock"),
    ],
)
def test_a_direction_is_told_from_straight_up_by_the_shorter_way(dial_hours: float, words: str) -> None:
    assert from_straight_up(dial_hours) == words


def test_the_three_views_are_one_direction_turned_and_swapped() -> None:
    pole = pole_now(OXFORD, datetime(2026, 3, 2, 21, tzinfo=UTC))
    assert [view for view, _ in pole_views(pole)] == [
        "by eye",
        "in a straight polar scope",
        "in a right-angle polar scope",
    ]
    eye, straight, bent = (words for _, words in pole_views(pole))
    degrees = [int(words.split("°")[0]) for words in (eye, straight, bent)]
    assert abs(degrees[0] + degrees[1] - 180) <= 1  # upside down: the other way, the rest of half a turn
    assert degrees[0] == degrees[2]
    assert ("anticlockwise" in eye, "anticlockwise" in bent) in ((True, False), (False, True))
    assert all(words in pole_words(pole) for words in (eye, straight, bent))


@pytest.mark.parametrize("lat_deg", [-34.0, -2.0])
def test_a_pole_star_that_is_hard_to_find_is_told_by_its_designation_and_magnitude(lat_deg: float) -> None:
    """At magnitude 5.5 it is the one of several stars there; Polaris, of 2.0, has none beside it."""
    south = ObservingSite("Cape", Place(lat_deg, 18.5, 50.0), ZoneInfo("Africa/Johannesburg"))
    words = pole_words(pole_now(south, datetime(2026, 6, 16, 20, tzinfo=UTC)))
    assert re.match(r"Polaris Australis \(σ Oct, magnitude 5\.[45]\) is ", words)


@pytest.mark.parametrize(
    ("lat_deg", "stands"), [(0.3, r"0\.\d° up|below the horizon"), (3.0, r"[23]\.\d° up")]
)
def test_near_the_equator_the_pole_star_is_said_to_be_too_low(lat_deg: float, stands: str) -> None:
    """Polaris stands within 0.63 deg of a pole that is as high as the latitude, and 0.4 deg higher by refraction."""
    kampala = ObservingSite("Kampala", Place(lat_deg, 32.6, 1200.0), ZoneInfo("Africa/Kampala"))
    words = pole_words(pole_now(kampala, datetime(2026, 3, 19, 18, tzinfo=UTC)))
    assert re.fullmatch(
        rf"Polaris is ({stands}), too low to set the axis by; time the drift of stars \(obslog pointing drift\)",
        words,
    )


def test_from_six_degrees_of_latitude_on_the_pole_star_is_of_use() -> None:
    accra = ObservingSite("Accra", Place(6.0, 0.0, 50.0), ZoneInfo("Africa/Accra"))
    assert "from the pole" in pole_words(pole_now(accra, datetime(2026, 3, 19, 20, tzinfo=UTC)))


def test_dark_hours_that_come_and_that_do_not() -> None:
    # Oxford, latitude 51.75: at midsummer the Sun is 14.8 degrees down at its lowest (90 - 51.75 - 23.44), which is
    # astronomical twilight; in March it is dark. Tromsø has no sunset at midsummer and no sunrise at midwinter.
    march = sun_and_moon(OXFORD, datetime(2026, 3, 2, 21, tzinfo=UTC))
    begin, end = (march.twilight_utc[f"astronomical_{name}"] for name in ("dusk", "dawn"))
    assert begin is not None
    assert end is not None
    assert dark_words(march, LONDON).startswith(f"fully dark {nearest(begin)} to {nearest(end)}; sunset ")
    june = dark_words(sun_and_moon(OXFORD, datetime(2026, 6, 21, 23, tzinfo=UTC)), LONDON)
    assert june.startswith("never fully dark, astronomical twilight at the darkest; sunset 21:")
    assert dark_words(sun_and_moon(TROMSO, datetime(2026, 6, 21, 23, tzinfo=UTC)), TROMSO.zone) == (
        "the Sun does not set"
    )
    midwinter = dark_words(sun_and_moon(TROMSO, datetime(2026, 12, 21, 20, tzinfo=UTC)), TROMSO.zone)
    assert midwinter.startswith("fully dark ")
    assert midwinter.endswith("; the Sun does not rise")


def test_the_moon_is_told_with_what_it_does_in_the_night_alone() -> None:
    sky = sun_and_moon(OXFORD, datetime(2026, 3, 2, 21, tzinfo=UTC))
    words = moon_words(sky, LONDON)
    assert " % lit" in words
    sunset, sunrise = sky.twilight_utc["sunset"], sky.twilight_utc["sunrise"]
    assert sunset is not None
    assert sunrise is not None
    for what, instants in (("rises", sky.moon_rises_utc), ("sets", sky.moon_sets_utc)):
        for instant in instants:
            assert (f"{what} {nearest(instant)}" in words) == (sunset <= instant <= sunrise)


def test_where_the_moon_stands_is_told_with_its_time_where_that_is_not_now() -> None:
    sky = sun_and_moon(OXFORD, datetime(2026, 3, 2, 21, tzinfo=UTC))
    for alt_deg, where in ((16.2, "16° up at 21:00"), (-3.0, "below the horizon at 21:00")):
        assert f" lit, {where}" in moon_words(replace(sky, moon_alt_deg=alt_deg), LONDON, at=" at 21:00")


def test_what_the_moon_has_done_is_told_as_done() -> None:
    sky = sun_and_moon(OXFORD, datetime(2026, 3, 2, 21, tzinfo=UTC))
    instants = sorted([*sky.moon_rises_utc, *sky.moon_sets_utc])
    before, after = (
        moon_words(sky, LONDON, at)
        for at in (instants[0] - timedelta(hours=1), instants[-1] + timedelta(hours=1))
    )
    assert "rose" not in before
    assert before == moon_words(sky, LONDON)
    assert after == before.replace("rises", "rose").replace("sets", "set")
    assert after != before


def nearest(instant: datetime) -> str:
    """To the nearest minute: half a minute is put on, and the seconds are left out."""
    return f"{(instant + timedelta(seconds=30)).astimezone(LONDON):%H:%M}"


@pytest.mark.parametrize(("second", "told"), [(29, "21:40"), (30, "21:41"), (59, "21:41")])
def test_a_computed_time_is_told_to_the_nearest_minute(second: int, told: str) -> None:
    instant = datetime(2026, 1, 2, 21, 40, second, tzinfo=UTC)
    assert horizon_words([instant], [], "rises and sets", LONDON)[0] == told


def test_a_twilight_that_does_not_come_says_how_high_the_sun_stays() -> None:
    # Tromsø: 69.65 + 23.44 - 90 = 3.1 degrees up at midnight in summer; 90 - 69.65 - 23.44 = -3.1 at midwinter's noon.
    summer = sun_and_moon(TROMSO, datetime(2026, 6, 21, 23, tzinfo=UTC))
    for name in ("sunset", "civil_dusk", "astronomical_dawn", "sunrise"):
        assert twilight_words(summer, name, TROMSO.zone) == (
            "does not come: the Sun stays higher, 3.1° at its lowest"
        )
    winter = sun_and_moon(TROMSO, datetime(2026, 12, 21, 20, tzinfo=UTC))
    assert twilight_words(winter, "sunset", TROMSO.zone) == (
        "does not come: the Sun stays lower, -3.1° at its highest"
    )
    dusk = winter.twilight_utc["civil_dusk"]
    assert dusk is not None
    assert twilight_words(winter, "civil_dusk", TROMSO.zone) == (
        f"{(dusk + timedelta(seconds=30)).astimezone(TROMSO.zone):%H:%M}"
    )


def test_what_does_not_rise_or_set_in_a_night_is_said_to_be_up_or_down() -> None:
    evening = datetime(2026, 1, 2, 19, 0, tzinfo=UTC)
    assert horizon_words([evening], [], "rises and sets", LONDON) == (
        "19:00",
        "not in this night: it stays up",
    )
    assert horizon_words([], [evening], "rises and sets", LONDON) == (
        "not in this night: it is up already",
        "19:00",
    )
    assert horizon_words([], [], "never sets", LONDON) == ("not in this night: it is up throughout",) * 2
    assert (
        horizon_words([], [], "never rises", LONDON) == ("not in this night: it stays below the horizon",) * 2
    )
    # From 69.65 degrees north the Moon of 2026-12-23, two days before its highest full Moon, does not set.
    sky = sun_and_moon(TROMSO, datetime(2026, 12, 23, 20, tzinfo=UTC))
    assert (sky.moon_rises_utc, sky.moon_sets_utc, sky.moon_course) == ([], [], "never sets")
