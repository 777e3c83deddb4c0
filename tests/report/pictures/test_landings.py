"""Landing errors over the months: what is drawn, what the table holds and the words say, of records made by hand."""

from dataclasses import replace
from datetime import date, timedelta
from math import log
from uuid import UUID
from xml.etree import ElementTree

import pytest
from matplotlib.colors import to_hex
from matplotlib.figure import Figure

from obslog.club.over_time.landing_history import AsUsed, Changed, MountHistory, Serviced, SetupHistory
from obslog.club.over_time.own_trends import AlarmNight
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.report.pictures.drawing import drawn, inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.report.pictures.landings import LOGARITHMIC_FROM, SHAPES, landings_picture
from obslog.report.pictures.time_axis import day_number
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.values import Estimate, Interval, SetupId
from tests.report.pictures.drawn_on import figure_of, texts_of, xs, ys


def setup_of(day: date, half: Interval | None) -> SetupHistory:
    key = SetupId(key=UUID(int=day.toordinal()), night=day, setup=1, site="Mill Field", mount="Heron")
    return SetupHistory(
        setup=key, arrivals=6, told_in_words=0, half_arcmin=half, rms_arcmin=None, median_arcmin=None
    )


def history_of(setups: list[SetupHistory], **changed: object) -> MountHistory:
    given: dict[str, object] = {
        "mount": "Heron", "alarms": [], "services": [], "slope": None, "verdict": Verdict.TOO_FEW, "days": 365,
        **changed,
    }  # fmt: skip
    return MountHistory(
        setups=setups,
        words="",
        as_used=AsUsed(None, Verdict.TOO_FEW),
        adjusted_for=(),
        reasons=[],
        **given,  # type: ignore[arg-type]
    )


FIRST = setup_of(date(2026, 1, 10), Interval(12.34, 9.0, 17.0, 6))
OPEN_ENDED = setup_of(date(2026, 2, 10), Interval(20.0, 15.0, None, 1))
UNKNOWN = setup_of(date(2026, 3, 10), None)


def test_the_table_holds_every_set_up_and_an_unknown_radius_is_blank() -> None:
    assert landings_picture(history_of([FIRST, OPEN_ENDED, UNKNOWN])).rows == (
        ("2026-01-10", "1", "6", "12.3'", "9.0'", "17.0'"),
        ("2026-02-10", "1", "6", "20.0'", "15.0'", ""),
        ("2026-03-10", "1", "6", "", "", ""),
    )


def test_it_says_the_first_and_the_last_and_what_happened_between() -> None:
    found = landings_picture(
        history_of(
            [FIRST, OPEN_ENDED, UNKNOWN],
            services=[Serviced(date(2026, 1, 20), None, None)],
            alarms=[AlarmNight(date(2026, 2, 10), worse=True, likely_since=None)],
        )
    )
    assert found.description == (
        "2 set-ups with arrivals. The first, on 2026-01-10: 12'; the last, on 2026-02-10: 20'. "
        "Mechanical service on 2026-01-20. Alarm on 2026-02-10."
    )


@pytest.mark.parametrize("setups", [[], [UNKNOWN], [FIRST], [FIRST, OPEN_ENDED, UNKNOWN]])
def test_it_is_drawn_however_little_is_known(setups: list[SetupHistory]) -> None:
    ElementTree.fromstring(inline_svg(landings_picture(history_of(setups))))


def test_each_known_radius_is_one_point() -> None:
    few = drawn(landings_picture(history_of([FIRST])), "svg").count(b"<use")
    more = drawn(landings_picture(history_of([FIRST, OPEN_ENDED])), "svg").count(b"<use")
    assert few < more


def dots(figure: Figure) -> list[tuple[list[float], list[float], str]]:
    """Days, radii and shape of the points."""
    return [
        (xs(line), ys(line), str(line.get_marker()))
        for line in figure.axes[0].lines
        if line.get_marker() in SHAPES and line.get_color() == LIGHT.first
    ]


def test_points_stand_on_their_days_at_their_radii() -> None:
    ((days, radii, _),) = dots(figure_of(landings_picture(history_of([FIRST, OPEN_ENDED, UNKNOWN]))))
    assert days == [day_number(date(2026, 1, 10)), day_number(date(2026, 2, 10))]
    assert radii == [12.34, 20.0]


def test_radii_far_apart_stand_on_a_logarithmic_axis_that_says_so() -> None:
    near = figure_of(landings_picture(history_of([FIRST, OPEN_ENDED]))).axes[0]
    assert near.get_yscale() == "linear"
    assert near.get_ylim()[0] == 0
    far = setup_of(date(2026, 4, 1), Interval(12.34 * LOGARITHMIC_FROM, 90.0, 110.0, 5))
    axes = figure_of(landings_picture(history_of([FIRST, far]))).axes[0]
    assert axes.get_yscale() == "log"
    assert "logarithmic" in axes.get_ylabel()
    assert axes.get_ylim()[0] < 12.34 < 12.34 * LOGARITHMIC_FROM < axes.get_ylim()[1]


def test_one_long_whisker_runs_off_and_leaves_the_rest_its_room() -> None:
    lone = setup_of(date(2026, 4, 1), Interval(15.0, 4.0, 3000.0, 1))
    known = setup_of(date(2026, 2, 10), Interval(20.0, 15.0, 30.0, 6))
    figure = figure_of(landings_picture(history_of([FIRST, known, lone])))
    assert 20.0 < figure.axes[0].get_ylim()[1] < 60.0
    (beyond,) = [line for line in figure.axes[0].lines if line.get_marker() == "^"]
    assert xs(beyond) == [day_number(date(2026, 4, 1))]


def test_the_slope_is_drawn_as_steep_as_the_verdict_says_it() -> None:
    """Twice a year: from the first night of the era to the last, 365.25 days later, the line doubles."""
    nights = [date(2025, 1, 1), date(2025, 7, 1), date(2026, 1, 1)]
    setups = [setup_of(night, Interval(10.0, 8.0, 13.0, 9)) for night in nights]
    slope = Slope(Interval(log(2), log(1.5), log(3), 3), 0.01)
    figure = figure_of(landings_picture(history_of(setups, slope=slope, verdict=Verdict.WORSENING)))
    courses = [ys(line) for line in figure.axes[0].lines if line.get_color() == LIGHT.second]
    years = 365 / 365.25
    assert [course[-1] / course[0] for course in courses] == pytest.approx([2**years, 1.5**years, 3**years])
    assert "worsening: by itself times 2.00 a year (1.50 to 3.00)" in texts_of(figure)


def test_of_less_than_half_a_year_the_slope_is_told_of_the_days_that_it_was_seen() -> None:
    nights = [date(2026, 1, 1) + timedelta(days=day) for day in (0, 45, 90)]
    setups = [setup_of(night, Interval(10.0, 8.0, 13.0, 9)) for night in nights]
    slope = Slope(Interval(log(81), log(30), log(700), 3), 0.01)
    history = history_of(setups, slope=slope, verdict=Verdict.WORSENING, days=90)
    figure = figure_of(landings_picture(history))
    # 81, 30 and 700 to the power 90 / 365.25, by a desk calculator.
    assert "worsening: by itself times 2.95 in 90 days (2.31 to 5.02)" in texts_of(figure)
    courses = [ys(line) for line in figure.axes[0].lines if line.get_color() == LIGHT.second]
    quarter = 90 / 365.25
    expected = [81**quarter, 30**quarter, 700**quarter]
    assert [course[-1] / course[0] for course in courses] == pytest.approx(expected)
    assert "The mount by itself is worsening: times 2.95 in 90 days" in landings_picture(history).description


@pytest.mark.parametrize(
    ("verdict", "told"),
    [
        (Verdict.WORSENING, "The mount by itself is worsening: times"),
        (Verdict.CANNOT_TELL, "Whether the mount changes cannot be told from its users; by itself times"),
        (
            Verdict.CANNOT_TELL_TUBES,
            "Whether the mount changes cannot be told from its tubes; by itself times",
        ),
        (
            Verdict.CANNOT_TELL_SITES,
            "Whether the mount changes cannot be told from its sites; by itself times",
        ),
    ],
)
def test_the_description_says_the_verdict_in_a_sentence(verdict: Verdict, told: str) -> None:
    slope = Slope(Interval(log(2), log(1.5), log(3), 3), 0.01)
    history = history_of([FIRST, OPEN_ENDED], slope=slope, verdict=verdict)
    assert f" {told} 2.00 a year (1.50 to 3.00)." in landings_picture(history).description


def test_a_slope_that_says_nothing_is_not_drawn() -> None:
    setups = [setup_of(date(2026, 1, day), Interval(10.0, 8.0, 13.0, 9)) for day in (1, 10, 20)]
    slope = Slope(Interval(0.0, -5.0, 5.0, 3), 0.9)
    figure = figure_of(landings_picture(history_of(setups, slope=slope, verdict=Verdict.STEADY)))
    assert LIGHT.second not in [line.get_color() for line in figure.axes[0].lines]
    assert "too few nights to tell how fast the mount changes by itself" in texts_of(figure)


def test_the_slope_begins_with_the_last_service() -> None:
    setups = [setup_of(date(2026, month, 1), Interval(10.0, 8.0, 13.0, 9)) for month in (1, 2, 4, 5, 6)]
    slope = Slope(Interval(0.1, 0.0, 0.2, 3), 0.04)
    history = history_of(
        setups, slope=slope, verdict=Verdict.STEADY, services=[Serviced(date(2026, 3, 1), None, None)]
    )
    (line, *_) = [
        x for x in figure_of(landings_picture(history)).axes[0].lines if x.get_color() == LIGHT.second
    ]
    assert xs(line)[0] == day_number(date(2026, 4, 1))


def test_the_slope_begins_anew_where_something_changed_that_nobody_wrote_down() -> None:
    setups = [setup_of(date(2026, month, 1), Interval(10.0, 8.0, 13.0, 9)) for month in range(1, 8)]
    found = FoundChange(
        last_before=date(2026, 4, 1), since=date(2026, 5, 1), term="cone", size_arcmin=Estimate(15.0, 1.0, 40, True),
        chance=1e-6, at_once=True, sure=True,
    )  # fmt: skip
    picture = landings_picture(
        history_of(
            setups,
            slope=Slope(Interval(0.1, 0.0, 0.2, 3), 0.04),
            verdict=Verdict.STEADY,
            services=[Serviced(date(2026, 3, 1), None, None)],
            changes=[Changed(found, None)],
        )
    )
    figure = figure_of(picture)
    line, *_ = [line for line in figure.axes[0].lines if line.get_color() == LIGHT.second]
    assert xs(line)[0] == day_number(date(2026, 5, 1))
    parted = [xs(line)[0] for line in figure.axes[0].lines if line.get_color() == LIGHT.third]
    assert parted == [day_number(date(2026, 3, 1)), day_number(date(2026, 5, 1))]
    assert {"service", "change"} <= set(texts_of(figure))
    assert (
        "Its cone error changed by 15' ± 1' between the nights of 2026-04-01 and 2026-05-01, with no service on record "
        "then." in picture.description
    )


def test_services_and_alarms_are_named_where_they_stand() -> None:
    history = history_of(
        [FIRST, OPEN_ENDED],
        services=[Serviced(date(2026, 1, 20), None, None)],
        alarms=[AlarmNight(date(2026, 2, 10), worse=True, likely_since=None)],
    )
    assert {"service", "alarm: worse"} <= set(texts_of(figure_of(landings_picture(history))))


def test_words_of_alarms_close_together_do_not_run_into_each_other() -> None:
    alarms = [AlarmNight(date(2026, 2, day), worse=True, likely_since=None) for day in (1, 2, 3)]
    figure = figure_of(landings_picture(history_of([FIRST, OPEN_ENDED], alarms=alarms)))
    assert texts_of(figure).count("alarm: worse") == 1


def test_few_people_are_told_apart_by_shape_and_many_are_not() -> None:
    few = [replace(FIRST, observer="Ines"), replace(OPEN_ENDED, observer="Tomasz")]
    figure = figure_of(landings_picture(history_of(few)))
    assert [shape for _, _, shape in dots(figure)] == ["o", "s"]
    assert {"Ines", "Tomasz"} <= set(texts_of(figure))
    many = [
        replace(setup_of(date(2026, 1, 1 + day), Interval(12.0, 9.0, 17.0, 6)), observer=f"member {day}")
        for day in range(len(SHAPES) + 1)
    ]
    assert [shape for _, _, shape in dots(figure_of(landings_picture(history_of(many))))] == ["o"]
    one_unknown = [*few, replace(UNKNOWN, half_arcmin=Interval(9.0, 8.0, 10.0, 3))]
    assert [shape for _, _, shape in dots(figure_of(landings_picture(history_of(one_unknown))))] == ["o"]


def test_a_service_before_the_first_set_up_leaves_the_axis_as_it_is_and_a_later_one_is_on_it() -> None:
    def reach(day: date) -> tuple[float, float]:
        history = history_of([FIRST, OPEN_ENDED], services=[Serviced(day, None, None)])
        figure = figure_of(landings_picture(history))
        assert ("service" in texts_of(figure)) is (day > date(2020, 1, 1))
        return figure.axes[0].get_xlim()

    usual = figure_of(landings_picture(history_of([FIRST, OPEN_ENDED]))).axes[0].get_xlim()
    assert reach(date(2010, 1, 1)) == usual
    assert reach(date(2026, 6, 1))[1] > day_number(date(2026, 6, 1))


def test_of_nothing_it_says_so() -> None:
    assert "nothing on record yet" in texts_of(figure_of(landings_picture(history_of([UNKNOWN]))))


def test_five_hundred_set_ups_are_drawn() -> None:
    setups = [
        setup_of(date(2020, 1, 1) + timedelta(days=4 * n), Interval(10.0 + n % 17, 8.0, 30.0, 9))
        for n in range(500)
    ]
    ((days, _, _),) = dots(figure_of(landings_picture(history_of(setups))))
    assert len(days) == 500


def test_intervals_are_drawn_from_end_to_end_and_an_open_one_runs_off_with_an_arrowhead() -> None:
    below = setup_of(date(2026, 3, 10), Interval(14.0, None, 18.0, 1))
    picture = landings_picture(history_of([FIRST, OPEN_ENDED, below]))
    assert picture.title.endswith(", set-up by set-up, with 95 % intervals")
    axes = figure_of(picture).axes[0]
    (intervals,) = axes.collections
    bottom, top = axes.get_ylim()
    assert [[(float(x), float(y)) for x, y in path] for path in intervals.get_segments()] == [  # type: ignore[attr-defined]
        [(day_number(date(2026, 1, 10)), 9.0), (day_number(date(2026, 1, 10)), 17.0)],
        [(day_number(date(2026, 2, 10)), 15.0), (day_number(date(2026, 2, 10)), top)],
        [(day_number(date(2026, 3, 10)), bottom), (day_number(date(2026, 3, 10)), 18.0)],
    ]
    heads = {
        line.get_marker(): (xs(line), ys(line)) for line in axes.lines if line.get_marker() in ("^", "v")
    }
    assert heads == {
        "^": ([day_number(date(2026, 2, 10))], [top]),
        "v": ([day_number(date(2026, 3, 10))], [bottom]),
    }
    assert to_hex(intervals.get_color()[0]) == LIGHT.first, "seen on paper"  # type: ignore[attr-defined]
