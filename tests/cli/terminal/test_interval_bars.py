"""Intervals drawn in text."""

import pytest

from obslog.cli.terminal.interval_bars import WIDTH, Bars


def test_a_decade_is_drawn_in_proportion_to_its_logarithm() -> None:
    bars = Bars(1.0, 100.0)
    drawn = bars.bar(1.0, 10.0, 100.0)
    assert len(drawn) == WIDTH
    assert abs(drawn.index("●") - (WIDTH - 1) / 2) <= 0.5
    assert set(drawn) == {"─", "●"}


def test_ends_that_are_not_bounded_run_off_with_an_arrow() -> None:
    bars = Bars(1.0, 100.0)
    assert bars.bar(None, 10.0, 50.0).startswith("◂")
    assert bars.bar(2.0, 10.0, None).endswith("▸")
    assert "●" in bars.bar(None, 100.0, None)
    assert "●" in bars.bar(None, 1.0, None)


@pytest.mark.parametrize("value", [0.0, 1e-9, 5.0, 1e9, float("inf")])
def test_no_value_is_drawn_outside(value: float) -> None:
    for bars in (Bars(1.0, 100.0), Bars(5.0, 5.0), Bars.over([])):
        if value != float("inf"):
            assert len(bars.bar(value, value, value)) <= WIDTH


def test_nothing_is_drawn_where_nothing_is_known() -> None:
    assert Bars.over([1.0, 2.0]).bar(None, None, None) == ""


def test_the_scale_holds_what_is_known_and_above_zero() -> None:
    assert Bars.over([None, 0.0, 3.0, 12.0]) == Bars(3.0, 12.0)
    heading = Bars(3.0, 12.0).scale("'")
    assert (heading[:2], heading[-3:], len(heading)) == ("3'", "12'", WIDTH)


def test_where_nothing_is_known_no_scale_is_claimed() -> None:
    assert Bars.over([None, 0.0]).scale("'") == ""
    assert Bars.over([7.25]).scale("'") == "7.2'"


@pytest.mark.parametrize(("low", "told"), [(14.6, "15'"), (9.94, "9.9'"), (0.321, "0.32'"), (123.4, "123'")])
def test_both_ends_are_rounded_alike(low: float, told: str) -> None:
    assert Bars(low, 500.0).scale("'").startswith(told + " ")
    assert Bars(0.01, low).scale("'").endswith(" " + told)


def test_a_doubling_takes_the_same_room_wherever_the_scale_begins() -> None:
    # From 2 to 32 are four doublings on thirteen steps: one takes 3.25 of them.
    bars = Bars(2.0, 32.0)
    assert [bars.bar(value, value, value).index("●") for value in (2.0, 4.0, 8.0, 16.0, 32.0)] == [
        0,
        3,
        6,
        10,
        13,
    ]
    assert bars.bar(4.0, 8.0, 16.0) == "   ───●────"
