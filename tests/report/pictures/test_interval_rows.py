"""Values with their intervals: what is drawn where, and where an end runs off."""

import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from obslog.report.pictures.ink import LIGHT
from obslog.report.pictures.interval_rows import (
    LINE_LETTERS,
    MOST_TICKS,
    IntervalRow,
    draw_interval_rows,
    interval_of,
    log_ticks,
    row_name,
)
from obslog.values import Estimate, Interval
from tests.report.pictures.drawn_on import xs, ys


def row_of(value: float, low: float | None, high: float | None, **changed: object) -> IntervalRow:
    given: dict[str, object] = {"name": "Heron", "words": "", "interval": Interval(value, low, high, 9)}
    return IntervalRow(**(given | changed))  # type: ignore[arg-type]


def drawn_rows(rows: list[IntervalRow], *, logarithmic: bool = False) -> Axes:
    axes = Figure().add_subplot()
    draw_interval_rows(axes, LIGHT, rows, reference=1.0, logarithmic=logarithmic)
    return axes


def lines(axes: Axes) -> list[tuple[list[float], list[float]]]:
    """Ends and heights of all that is drawn as a line of two points, but for the reference."""
    found = [(xs(line), ys(line)) for line in axes.lines]
    return [(xs, ys) for xs, ys in found if len(xs) == 2 and ys[0] == ys[1]]


def dots(axes: Axes) -> list[tuple[float, float]]:
    return [(xs(line)[0], ys(line)[0]) for line in axes.lines if line.get_marker() in ("o", "D")]


def test_each_value_and_its_ends_are_where_they_were_handed_in_the_first_above() -> None:
    axes = drawn_rows([row_of(2.0, 1.5, 3.0), row_of(0.5, 0.25, 1.25)])
    assert lines(axes) == [([1.5, 3.0], [0.0, 0.0]), ([0.25, 1.25], [1.0, 1.0])]
    assert dots(axes) == [(2.0, 0.0), (0.5, 1.0)]
    bottom, top = axes.get_ylim()
    assert bottom > 1 > 0 > top


def test_an_end_that_is_not_known_runs_off_the_axis_with_an_arrowhead() -> None:
    axes = drawn_rows([row_of(2.0, 1.5, None)])
    ((_, high),) = [ends for ends, _ in lines(axes)]
    assert high == axes.get_xlim()[1]
    assert [line.get_marker() for line in axes.lines if line.get_marker() in ("<", ">")] == [">"]


def test_what_is_not_known_is_a_name_and_words_without_a_dot() -> None:
    axes = drawn_rows([row_of(1, 1, 1, interval=None, words="not determined")])
    assert dots(axes) == []
    assert "not determined" in [text.get_text() for text in axes.texts]


def test_one_end_far_away_does_not_press_the_others_together() -> None:
    axes = drawn_rows([row_of(1.5, 1.2, 1.8), row_of(1.4, 1.0, 900.0)], logarithmic=True)
    assert axes.get_xlim()[1] < 10
    axes = drawn_rows([row_of(1.5, 1.2, 1.8), row_of(1.4, 1.0, 900.0)])
    assert axes.get_xlim()[1] < 10


def test_an_end_beyond_the_axis_stops_there_with_an_arrowhead() -> None:
    axes = drawn_rows([row_of(1.5, 1.2, 1.8), row_of(1.4, 1.0, 900.0)])
    assert lines(axes)[1][0] == [1.0, axes.get_xlim()[1]]
    assert [line.get_marker() for line in axes.lines if line.get_marker() in ("<", ">")] == [">"]


def test_ends_of_values_near_the_reference_are_all_on_the_axis() -> None:
    """The interval of a ratio of 1.04 is its news, however little that differs from 1."""
    for logarithmic in (False, True):
        axes = drawn_rows([row_of(1.04, 0.78, 1.39)], logarithmic=logarithmic)
        assert lines(axes) == [([0.78, 1.39], [0.0, 0.0])]
        assert len(axes.get_xticks()) >= 3


def test_a_value_is_never_off_the_axis_and_the_reference_is_on_it() -> None:
    for logarithmic in (False, True):
        axes = drawn_rows([row_of(1.5, 1.2, 1.8), row_of(70.0, 60.0, 90.0)], logarithmic=logarithmic)
        low, high = axes.get_xlim()
        assert low < 1.0 < 70.0 < high


@pytest.mark.parametrize(
    ("low", "high"), [(0.8, 1.3), (0.5, 20), (0.001, 1000), (1e-6, 1e6), (3.1, 3.9), (1.0, 1.0)]
)
def test_a_logarithmic_axis_has_few_round_numbers_inside(low: float, high: float) -> None:
    ticks = log_ticks(low, high)
    assert 1 <= len(ticks) <= MOST_TICKS
    assert all(low <= tick <= high for tick in ticks)


def test_from_a_half_to_twenty_the_ticks_are_one_two_and_five() -> None:
    assert log_ticks(0.5, 20) == [0.5, 1, 2, 5, 10, 20]


def test_an_estimates_interval_is_196_standard_deviations_either_way() -> None:
    found = interval_of(Estimate(10.0, 1.0, 5, determined=True))
    assert found is not None
    assert (found.low, found.high) == pytest.approx((8.04, 11.96), abs=0.001)
    assert interval_of(Estimate(10.0, 1.0, 5, determined=False)) is None
    assert interval_of(Estimate(10.0, float("nan"), 5, determined=True)) is None


def test_a_long_name_is_cut_and_many_rows_keep_their_places() -> None:
    axes = drawn_rows([row_of(1.0, 0.9, 1.1, name="x" * 300) for _ in range(500)])
    assert len(axes.get_yticklabels()) == 500
    for tick in axes.get_yticklabels():
        lines = tick.get_text().split("\n")
        assert len(lines) == 2
        assert max(map(len, lines)) <= LINE_LETTERS


def test_names_that_differ_at_their_ends_alone_are_told_apart() -> None:
    names = [f"The mount from the old observatory with the {tube} tube" for tube in ("long", "short")]
    short, (one, other) = row_name("Heron"), map(row_name, names)
    assert short == "Heron"
    assert one != other
    assert (one.split()[-2:], other.split()[-2:]) == (["long", "tube"], ["short", "tube"])
    axes = drawn_rows([row_of(1, 1, 1), row_of(1, 1, 1, name=names[0])])
    sizes = [float(tick.get_fontsize()) for tick in axes.get_yticklabels()]
    assert sizes[0] > sizes[1]


def test_words_behind_a_row_stand_as_high_as_its_name() -> None:
    axes = drawn_rows([row_of(1, 1, 1, words="9 set-ups")])
    (words,) = [text for text in axes.texts if text.get_text() == "9 set-ups"]
    (name,) = axes.get_yticklabels()
    assert words.get_verticalalignment() == name.get_verticalalignment()
