"""What the commands of the sky show, read back at every width and held against records made by hand."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from obslog.cli.sky.sky_shown import Search, show_found, show_pole, show_sun_moon, show_when, show_where
from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.pair_seen import pair_seen
from obslog.club.sky.pole import ClockError
from obslog.club.sky.when import MonthOf, WhenIs
from obslog.club.sky.where import WhereIs
from obslog.sky.evening.dark_windows import Dark
from obslog.sky.evening.rising import Course
from obslog.sky.names.search import Hit
from obslog.values import Place
from tests.cli.checklist.briefings import POLE, ZONE, at, sun_moon
from tests.cli.screens import PIPED, Shown, screens, shown_by

THERE = ObservingSite("Mill Field", Place(52.2, 0.1), ZONE)
WHERE = WhereIs(
    name="Vega", title="Vega", ra_hours=18.616666, dec_deg=-38.8,
    hour_angle_hours=-3.25, alt_deg=-12.3456, az_deg=280.5,
    airless_alt_deg=-12.5, site="Mill Field", at_utc=at(21, 30), magnitude=0.03, band="V", magnitude_from=None,
    constellation="Lyr", size_arcmin=(12.5, None), pair=None, sun_deg=64.4, moon_deg=120.6, caution="The Sun is up.",
)  # fmt: skip


def a_when(**changed: Any) -> WhenIs:
    values: dict[str, Any] = {
        "name": "M 31", "title": "M 31, Andromeda Galaxy", "night": date(2026, 3, 2), "course": Course.RISES_AND_SETS,
        "rises_utc": [at(15, 1), at(2, 30, 3)],
        "transits_utc": [at(20, 15)], "transit_alt_deg": [61.25], "sets_utc": [at(1, 45, 3)], "above_deg": 30.0,
        "dark": Dark.NIGHT, "dark_hours": 3.44, "best_utc": at(21, 5), "best_alt_deg": 58.76,
        "year": [MonthOf("2026-03", 12, 3.44, 58.76), MonthOf("2026-04", 0, 0.0, None)],
        "highest_in_dark_deg": 58.76, "has_horizon": False, "caution": None,
    }  # fmt: skip
    return WhenIs(**(values | changed))


def when_shown(**changed: Any) -> Iterator[Shown]:
    return shown_by(lambda screen: show_when(screen, (a_when(**changed), THERE)))


def test_where_something_stands_with_its_signs() -> None:
    for shown in shown_by(lambda screen: show_where(screen, (WHERE, at(21, 30).astimezone(ZONE)))):
        # 18.616666 h is 18 h 37 min 0.0 s; -38.8 degrees are 38 degrees 48 minutes south.
        assert shown.in_order(
            "CAUTION. The Sun is up. Vega, 2026-03-02 21:30:00",
            "altitude -12.346° (below the horizon); without air -12.500°",
            "azimuth 280.500° from north through east",
            "hour angle -3.2500 h",
            "right ascension 18:37:00.0 (of date)",
            "declination -38:48:00 (of date)",
            "constellation Lyr",
            "magnitude 0.0 V",
            "size 12.5'",
            "away from the Moon 121°, from the Sun 64°",
        )
    risen = replace(
        WHERE, alt_deg=0.25, airless_alt_deg=-0.2, hour_angle_hours=3.25, dec_deg=38.8, caution=None
    )
    for shown in shown_by(lambda screen: show_where(screen, (risen, at(21, 30).astimezone(ZONE)))):
        assert shown.in_order(
            "altitude 0.250°; without air -0.200°", "hour angle +3.2500 h", "declination +38:48:00"
        )
        assert "CAUTION" not in shown.words


def test_no_body_is_away_from_itself_and_an_object_has_its_own_name() -> None:
    when = at(21, 30).astimezone(ZONE)
    for shown in shown_by(lambda screen: show_where(screen, (replace(WHERE, name="Moon"), when))):
        assert "away from the Sun 64°" in shown.words
        assert "from the Moon" not in shown.words
    for shown in shown_by(lambda screen: show_where(screen, (replace(WHERE, name="Sun"), when))):
        assert "away from the Moon 121°" in shown.words
        assert "from the Sun" not in shown.words
    cloud = replace(WHERE, name="ESO 56-115", title="ESO 56-115, LMC", size_arcmin=(645.65, 549.54))
    for shown in shown_by(lambda screen: show_where(screen, (cloud, when))):
        assert shown.in_order("ESO 56-115, LMC, 2026-03-02 21:30:00", "size 646' x 550'")


def test_a_double_star_is_told_with_its_pair() -> None:
    albireo = replace(WHERE, pair=pair_seen("Albireo", None))
    for shown in shown_by(lambda screen: show_where(screen, (albireo, at(21, 30).astimezone(ZONE)))):
        assert shown.in_order(
            'double star magnitudes 3.2 and 4.7, 34.6" apart in 2020, position angle 54°.',
            "away from the Moon",
        )


def test_when_something_is_seen_in_the_time_of_the_place() -> None:
    for shown in when_shown():
        assert shown.in_order(
            "M 31, Andromeda Galaxy, night of 2026-03-02: rises and sets",
            "rises 15:01, 02:30", "meridian 20:15 at 61.2°", "sets 01:45",
            "best, above 30° 21:05 at 58.8°, 3.4 h with the Sun more than 18° down",
        )  # fmt: skip
        assert shown.rows("month", "nights", "longest h", "highest °") == [
            {"month": "2026-03", "nights": "12", "longest h": "3.4", "highest °": "58.8"},
            {"month": "2026-04", "nights": "0", "longest h": "0.0", "highest °": ""},
        ]


def test_what_does_not_come_in_the_night_is_said_so() -> None:
    never = {"rises_utc": [], "sets_utc": [], "transits_utc": [], "transit_alt_deg": [], "above_deg": 20.5}
    never["course"] = Course.NEVER_RISES
    for best in ((None, None), (at(21, 5), None), (None, 50.0)):
        for shown in when_shown(**never, best_utc=best[0], best_alt_deg=best[1]):
            assert shown.in_order(
                "rises not in this night: it stays below the horizon", "meridian not in this night",
                "sets not in this night: it stays below the horizon",
                "best, above 20.5° not tonight",
            )  # fmt: skip


def test_a_year_without_a_night_is_a_sentence_and_no_table_of_zeros() -> None:
    empty = {"year": [MonthOf("2026-03", 0, 0.0, None), MonthOf("2027-02", 0, 0.0, None)]}
    for shown in when_shown(**empty, highest_in_dark_deg=None):
        assert shown.in_order("On no night from 2026-03 to 2027-02 is it up in the dark.")
        assert "longest h" not in shown.words
    for shown in when_shown(**empty, highest_in_dark_deg=23.04):
        assert shown.in_order(
            "On no night from 2026-03 to 2027-02 is it above 30° in the dark; 23.0° is the highest then."
        )
        assert "longest h" not in shown.words


def test_a_year_behind_the_sites_horizon_is_told_so() -> None:
    hidden = {"year": [MonthOf("2026-03", 0, 0.0, None)], "has_horizon": True}
    for shown in when_shown(**hidden, highest_in_dark_deg=None):
        assert "is it up and clear of the site's horizon in the dark." in shown.words
    for shown in when_shown(**hidden, highest_in_dark_deg=31.0):
        assert (
            "is it above 30° and clear of the site's horizon in the dark; 31.0° is the highest then."
            in shown.words
        )


def test_twilight_and_moon_in_the_time_of_the_place() -> None:
    sky = sun_moon(moon_rises_utc=[], next_phases=[("full Moon", at(1, 37, 4)), ("new Moon", at(3, 23, 19))])
    sky.twilight_utc["nautical_dawn"] = None
    for shown in shown_by(lambda screen: show_sun_moon(screen, (sky, ZONE))):
        assert shown.in_order(
            "Night of 2026-03-02: fully dark 20:06 to 04:17", "sunset 18:40", "civil dusk 19:05", "nautical dusk 19:35",
            "astronomical dusk 20:06", "astronomical dawn 04:17", "nautical dawn not before the next noon",
            "civil dawn 05:18",
            "sunrise 05:43", "Moon waxing gibbous, 62 % lit, 10.0 days old",
            "Moon rises not in this night: it is up already",
            "Moon sets 02:15", "next full Moon 2026-03-04 01:37, new Moon 2026-03-19 03:23",
        )  # fmt: skip
    for shown in shown_by(lambda screen: show_sun_moon(screen, (sun_moon(moon_sets_utc=[]), ZONE))):
        assert shown.in_order("Moon rises 15:01", "Moon sets not in this night: it stays up")


def test_the_pole_star_with_what_a_wrong_clock_costs() -> None:
    pole = replace(
        POLE, clock_error_arcmin=[ClockError(5, 0.82), ClockError(60, 9.84)], hour_angle_hours=-3.0
    )
    for shown in shown_by(lambda screen: show_pole(screen, (pole, THERE))):
        assert shown.in_order(
            "Polaris about the pole, 2026-03-02 21:00", "distance 37.4' from the pole as refraction shows it",
            "by eye 27° clockwise of straight up", "hour angle 21.00 h (of 24)",  # three hours before the meridian
            "altitude of the pole 52.20°, of the star 52.50°",
            "if the clock is wrong by 5 min: 0.8' off, by 60 min: 9.8' off",
        )  # fmt: skip


def a_hit(n: int, **changed: Any) -> Hit:
    values: dict[str, Any] = {
        "name": f"N {n}", "kind": "galaxy", "constellation": "Leo", "magnitude": 8.26 + n, "band": "V",
        "ra_hours": 9.5 + n / 8, "dec_deg": -12.346 + n, "also": f"M {n}", "caution": None,
    }  # fmt: skip
    return Hit(**(values | changed))


COLUMNS = ("name", "kind", "constellation", "mag", "ra h", "dec °", "also called")


@pytest.mark.parametrize(("most", "told"), [(2, 2), (3, 3), (20, 3)])
def test_the_first_that_are_found_are_told_with_their_places(most: int, told: int) -> None:
    for shown in shown_by(lambda screen: show_found(screen, Search("n", [a_hit(n) for n in range(3)], most))):
        rows = shown.rows(*COLUMNS)
        assert [row["name"] for row in rows] == ["N 0", "N 1", "N 2"][:told]
        assert [rows[1][name] for name in COLUMNS[3:]] == ["9.3 V", "9.625", "-11.35", "M 1"]
        assert shown.notes == ("The first 2 of 3; more with --most 3." if most == 2 else "")


def test_what_is_not_known_of_something_found_is_empty_and_the_sun_comes_with_its_caution() -> None:
    nowhere = dict.fromkeys(("constellation", "magnitude", "band", "ra_hours", "dec_deg"))
    sun = a_hit(1, **nowhere, caution="Never look.")
    for shown in shown_by(lambda screen: show_found(screen, Search("sun", [a_hit(0), sun], 20))):
        assert shown.words.startswith("CAUTION. Never look. ")
        row = shown.rows(*COLUMNS)[1]
        assert [row[name] for name in ("constellation", "mag", "ra h", "dec °")] == [""] * 4
    for shown in shown_by(lambda screen: show_found(screen, Search("qq", [], 20))):
        assert (shown.out, shown.notes) == ("", "Nothing is named like 'qq'.")


def test_typed_without_a_number_twenty_are_told() -> None:
    (shown,) = screens({}, at(21, 0), "sky", "find", "ngc 1", widths=[PIPED])
    assert len(shown.rows(*COLUMNS)) == 20
    assert shown.notes.startswith("The first 20 of ")
