"""Which reading holds at a time, and readings in words and back."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.club.open_log.sky_in_force import Reading, from_words, in_force, in_words
from obslog.vocabulary import SKY_SCALE_RANGE, SkyScale

NINE = datetime(2026, 3, 2, 21, tzinfo=UTC)
HOUR = timedelta(hours=1)
SEEING = [Reading(SkyScale.ANTONIADI, 2, NINE), Reading(SkyScale.ANTONIADI, 4, NINE + 2 * HOUR)]


@pytest.mark.parametrize(("after", "value"), [(-1, 2), (0, 2), (1, 2), (2, 4), (9, 4)])
def test_the_last_before_holds_else_the_first_after(after: int, value: float) -> None:
    assert in_force(SEEING, SkyScale.ANTONIADI, NINE + after * HOUR) == value


def test_a_nights_reading_holds_before_the_first_with_a_time_and_another_scale_never() -> None:
    readings = [*SEEING, Reading(SkyScale.ANTONIADI, 3)]
    assert in_force(readings, SkyScale.ANTONIADI, NINE - HOUR) == 3
    assert in_force(readings, SkyScale.ANTONIADI, NINE + HOUR) == 2
    assert in_force(readings, SkyScale.PICKERING, NINE) is None


@given(
    st.lists(
        st.sampled_from(SkyScale).flatmap(
            lambda scale: st.builds(
                Reading,
                st.just(scale),
                st.floats(*SKY_SCALE_RANGE[scale]).map(lambda value: round(value, 2) + 0.0),
                st.one_of(st.none(), st.just(NINE), st.just(NINE + timedelta(microseconds=5))),
            )
        ),
        min_size=1,
        max_size=5,
    )
)
def test_words_are_the_same_readings_again(readings: list[Reading]) -> None:
    assert from_words(in_words(readings) or "") == readings


@pytest.mark.parametrize("text", ["fine", "antoniadi 2; fine", "antoniadi 9", "antoniadi 2 at noonZ", ""])
def test_words_of_anybody_else_are_none(text: str) -> None:
    assert from_words(text) is None
