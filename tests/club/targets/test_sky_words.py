"""The pole star and the dark hours in words: degrees from straight up, the nearest hour, and what comes or does not."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from obslog.club.register.observing_site import ObservingSite
from obslog.club.targets.sky_tonight import pole_now, sun_and_moon
from obslog.club.targets.sky_words import dark_words, from_straight_up, moon_words, pole_views, pole_words
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


def test_dark_hours_that_come_and_that_do_not() -> None:
    # Oxford, latitude 51.75: at midsummer the Sun is 14.8 degrees down at its lowest (90 - 51.75 - 23.44), which is
    # astronomical twilight; in March it is dark. Tromsø has no sunset at midsummer and no sunrise at midwinter.
    march = sun_and_moon(OXFORD, datetime(2026, 3, 2, 21, tzinfo=UTC))
    begin, end = (march.twilight_utc[f"astronomical_{name}"] for name in ("dusk", "dawn"))
    assert dark_words(march, LONDON).startswith(f"fully dark {begin:%H:%M} to {end:%H:%M}; sunset ")
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
            assert (f"{what} {instant:%H:%M}" in words) == (sunset <= instant <= sunrise)
