"""A night as a picture: curves, bands and months against a course made by hand."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.figure import Figure
from numpy.testing import assert_allclose

from obslog.club.sky.when import MonthOf
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.files import write_picture
from obslog.report.pictures.ink import LIGHT, RED
from obslog.report.sky_pictures.hours_axis import hour_number
from obslog.report.sky_pictures.night_altitude import TWILIGHTS_DEG, night_picture
from obslog.sky.evening.night_course import NightCourse
from obslog.sky.places.moon import PhaseName
from tests.cli.sky.test_sky_shown import THERE, a_when
from tests.report.pictures.drawn_on import figure_of, texts_of, xs, ys

NOON = np.datetime64("2026-03-02T10:00")  # noon in the zone of these tests
HOURS = np.arange(0, 24.01, 0.25)


def course_of(*, sun_lowest_deg: float = -60.0, moon_deg: float = 20.0) -> NightCourse:
    """The Sun goes down in a straight line for twelve hours and up again; the target is highest after ten hours."""
    sun = 30.0 + (sun_lowest_deg - 30.0) * (1 - np.abs(HOURS - 12) / 12)
    return NightCourse(
        when_utc=NOON + (HOURS * 60).astype("timedelta64[m]"),
        alt_deg=61.25 - 5 * np.abs(HOURS - 10.25),
        moon_alt_deg=moon_deg - np.abs(HOURS - 13),
        sun_airless_alt_deg=sun,
        moon_phase=PhaseName.WAXING_GIBBOUS,
        moon_illuminated=0.624,
    )


def night(figure: Figure) -> Any:
    return figure.axes[0]


def test_the_curve_goes_through_the_altitudes_at_their_instants() -> None:
    found = course_of()
    (curve,) = [
        line
        for line in night(figure_of(night_picture(a_when(), found, THERE))).lines
        if line.get_linewidth() > 2
    ]
    first = hour_number(datetime(2026, 3, 2, 10, tzinfo=UTC))
    assert_allclose(xs(curve), first + HOURS)
    assert_allclose(ys(curve), found.alt_deg)


def test_the_moons_curve_is_dashed_and_named_with_its_lit_part() -> None:
    figure = figure_of(night_picture(a_when(), course_of(), THERE))
    (moon,) = [line for line in night(figure).lines if line.get_color() == LIGHT.second]
    assert_allclose(ys(moon), course_of().moon_alt_deg)
    assert moon.get_linestyle() == "--"
    assert "Moon, 62 % lit" in texts_of(figure)


def test_a_moon_below_the_horizon_and_the_moon_itself_have_no_second_name() -> None:
    for changed, moon_deg in (({}, -5.0), ({"name": "Moon"}, 20.0)):
        figure = figure_of(night_picture(a_when(**changed), course_of(moon_deg=moon_deg), THERE))
        assert "Moon, 62 % lit" not in texts_of(figure)


def test_the_meridian_is_marked_at_its_instant_and_altitude() -> None:
    figure = figure_of(night_picture(a_when(), course_of(), THERE))
    (mark,) = [line for line in night(figure).lines if line.get_marker() == "o"]
    transit = a_when().transits_utc[0]
    assert (xs(mark), ys(mark)) == ([hour_number(transit)], [61.25])
    assert "meridian 20:15, 61°" in texts_of(figure)


def test_twilight_is_four_layers_that_end_where_the_sun_has_those_altitudes() -> None:
    """The Sun falls 90° in twelve hours: it stands at -18° 6.4 h after noon, and again 6.4 h before the next."""
    axes = night(figure_of(night_picture(a_when(), course_of(), THERE)))
    assert len(axes.collections) == len(TWILIGHTS_DEG) == 4
    begin = hour_number(datetime(2026, 3, 2, 10, tzinfo=UTC))
    evening, morning = (path.get_extents() for path in axes.collections[0].get_paths())
    assert evening.x1 - begin == pytest.approx(6.4, abs=0.25)
    assert morning.x0 - begin == pytest.approx(24 - 6.4, abs=0.25)


def test_it_begins_and_ends_about_sunset_and_sunrise() -> None:
    """At 3° above the horizon: 3.6 h after noon and before the next, to the step of the course."""
    first, last = night(figure_of(night_picture(a_when(), course_of(), THERE))).get_xlim()
    begin = hour_number(datetime(2026, 3, 2, 10, tzinfo=UTC))
    assert (first - begin, last - begin) == pytest.approx((3.75, 20.25))


def test_a_night_without_darkness_and_a_day_without_night_say_so() -> None:
    for lowest, words in ((-10.0, "twilight all night"), (5.0, "the Sun does not set")):
        figure = figure_of(night_picture(a_when(), course_of(sun_lowest_deg=lowest), THERE))
        assert words in texts_of(figure)
        assert "dark" not in texts_of(figure)


def test_bars_are_the_hours_of_the_months_with_the_altitude_above_them() -> None:
    figure = figure_of(night_picture(a_when(), course_of(), THERE))
    assert [bar.get_height() for bar in figure.axes[1].patches] == [3.44, 0.0]  # type: ignore[attr-defined]
    assert [tick.get_text() for tick in figure.axes[1].get_xticklabels()] == ["Mar\n2026", "Apr"]
    assert "59°" in texts_of(figure)


def test_years_below_december_and_january_do_not_run_into_each_other() -> None:
    year = [MonthOf("2026-12", 3, 2.0, 40.0), MonthOf("2027-01", 3, 2.0, 40.0)]
    figure = figure_of(night_picture(a_when(year=year), course_of(), THERE))
    assert [tick.get_text() for tick in figure.axes[1].get_xticklabels()] == ["Dec", "Jan\n2027"]


def test_a_year_without_a_night_is_a_sentence() -> None:
    empty = a_when(year=[MonthOf("2026-03", 0, 0.0, None)], highest_in_dark_deg=None)
    figure = figure_of(night_picture(empty, course_of(), THERE))
    assert "on no night of the year above 30° in the dark" in texts_of(figure)
    assert len(figure_of(night_picture(a_when(year=[]), course_of(), THERE)).axes) == 1


def test_it_says_in_words_and_rows_what_is_drawn() -> None:
    found = night_picture(a_when(), course_of(), THERE)
    assert found.title == "M 31, Andromeda Galaxy at Mill Field, night of 2026-03-02"
    assert found.description == (
        "M 31, Andromeda Galaxy rises and sets. On the meridian at 20:15, 61° up. Best at 21:05, 59° up; above 30° for "
        "3.4 hours of the dark. The Moon is waxing gibbous, 62 % lit. The longest in the year that follows is 3.4 "
        "hours in one night, in 2026-03."
    )
    assert found.rows[0] == ("2026-03-02 12:00", "10.0°")
    assert found.rows[-1] == ("2026-04", "0.0 h")


@pytest.mark.parametrize("title", ["M 31", '<script>"&' + "x" * 10_000, "\u202egniw"])
def test_it_is_drawn_whatever_there_is(title: str) -> None:
    nothing: dict[str, Any] = {
        "transits_utc": [],
        "transit_alt_deg": [],
        "best_utc": None,
        "best_alt_deg": None,
        "dark": None,
    }
    for changed in ({}, nothing):
        ElementTree.fromstring(inline_svg(night_picture(a_when(title=title, **changed), course_of(), THERE)))


def test_in_red_not_even_the_layers_of_twilight_are_green_or_blue(tmp_path: Path) -> None:
    from matplotlib.image import imread

    write_picture(night_picture(a_when(), course_of(), THERE), tmp_path / "night.png", RED)
    pixels = imread(tmp_path / "night.png")
    assert pixels[..., 0].max() > 0.5
    assert pixels[..., 1:3].max() <= 10 / 255
