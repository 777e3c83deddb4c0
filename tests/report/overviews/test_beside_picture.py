"""One's own set-ups beside the others': two marks for each mount, told apart by their shapes."""

from obslog.club.overviews.habits import Beside
from obslog.report.overviews.beside_picture import beside_picture
from obslog.values import Interval
from tests.report.pictures.drawn_on import figure_of, xs

LANDING = [
    Beside(what="Heron", own=Interval(12.0, 8.0, 18.0, 5), others=Interval(20.0, 17.0, 24.0, 40)),
    Beside(what="Kelp", own=Interval(7.0, None, None, 1), others=None),
]


def test_the_table_has_both_sides_and_nobody_else_is_none() -> None:
    assert beside_picture(LANDING).rows == (
        ("Heron", "5", "12.0'", "8.0'", "18.0'", "40", "20.0'", "17.0'", "24.0'"),
        ("Kelp", "1", "7.0'", "", "", "0", "", "", ""),
    )


def test_dots_are_ones_own_and_squares_the_others() -> None:
    lines = figure_of(beside_picture(LANDING)).axes[0].lines
    assert [xs(line) for line in lines if line.get_marker() == "o"] == [[12.0], [7.0]]
    assert [xs(line) for line in lines if line.get_marker() == "s"] == [[20.0]]


def test_what_is_not_bounded_runs_off_the_axis_with_an_arrowhead() -> None:
    """Of one set-up there is no interval; an end eight times beyond all values is cut."""
    far = Beside(what="Anvil", own=Interval(10.0, 4.0, 900.0, 2), others=None)
    axes = figure_of(beside_picture([*LANDING, far])).axes[0]
    first, last = axes.get_xlim()
    heads = [(line.get_marker(), xs(line)) for line in axes.lines if line.get_marker() in ("<", ">")]
    assert heads == [("<", [first]), (">", [last]), (">", [last])]
    assert [first, last] in [xs(line) for line in axes.lines]


def test_mounts_whose_long_names_differ_at_their_ends_are_told_apart() -> None:
    long = [
        Beside(what=f"The mount from the old observatory, {tube}", own=Interval(9, 8, 10, 5), others=None)
        for tube in ("with the long tube", "with the short tube")
    ]
    names = [tick.get_text() for tick in figure_of(beside_picture(long)).axes[0].get_yticklabels()]
    assert [name.split()[-2] for name in names] == ["long", "short"]


def test_it_says_both_sides_of_each_mount() -> None:
    """Without the number of lines: a mount that was mended, or had two tubes, has several."""
    assert beside_picture(LANDING).description == (
        "Heron: yours 12' from 5 set-ups, the others' 20' from 40 set-ups. "
        "Kelp: yours 7.0' from 1 set-up, the others' not on record."
    )
