"""Segments of a history between the services that restart it."""

from hypothesis import given
from hypothesis import strategies as st

from obslog.trends.series.segments import restart_positions, segments_between


def test_segments_ignore_restarts_that_divide_nothing() -> None:
    assert segments_between(5, [0, 2, 2, 5, 9]) == [slice(0, 2), slice(2, 5)]
    assert segments_between(0, [1]) == []


def test_a_night_on_the_day_of_a_service_comes_after_it() -> None:
    assert restart_positions([10, 20, 30], [20, 25, 99]) == [1, 2, 3]


@given(st.integers(0, 30), st.lists(st.integers(-3, 35), max_size=6))
def test_segments_hold_each_position_once_and_begin_where_a_restart_is(
    count: int, restarts: list[int]
) -> None:
    segments = segments_between(count, restarts)
    assert [place for segment in segments for place in range(count)[segment]] == list(range(count))
    assert {segment.start for segment in segments} == {0, *restarts} & set(range(count))


def test_without_a_service_all_is_one_segment_and_one_before_all_restarts_at_the_first() -> None:
    assert segments_between(4, restart_positions([10, 20, 30, 40], [])) == [slice(0, 4)]
    assert segments_between(4, restart_positions([10, 20, 30, 40], [1, 5])) == [slice(0, 4)]
    assert segments_between(4, restart_positions([10, 20, 30, 40], [25])) == [slice(0, 2), slice(2, 4)]
