"""Readings of the sky in words and back."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.club.night.sky_in_force import Reading
from obslog.club.open_log.sky_words import from_words, in_words
from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale

NINE = datetime(2026, 3, 2, 21, tzinfo=UTC)


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
