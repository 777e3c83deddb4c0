"""Which reading of the sky holds at a time."""

from datetime import UTC, datetime, timedelta

import pytest

from obslog.club.night.sky_in_force import Reading, all_in_force, in_force
from obslog.vocabulary.sky_scales import SkyScale

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


def test_of_all_scales_those_that_were_read_are_told() -> None:
    readings = [*SEEING, Reading(SkyScale.BORTLE, 3)]
    assert all_in_force(readings, NINE + HOUR) == {SkyScale.ANTONIADI: 2, SkyScale.BORTLE: 3}
    assert all_in_force([], NINE) == {}
