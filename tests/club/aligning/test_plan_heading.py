"""A plan says where and for when it is, by the clocks of the site."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from obslog.club.aligning.plan_heading import PlanHeading
from obslog.club.register.observing_site import ObservingSite
from obslog.values import Place

TARN = ObservingSite("Tarn", Place(54.6, -3.1, 180.0), ZoneInfo("Europe/London"))


def test_the_time_is_that_of_the_clocks_there() -> None:
    midnight = PlanHeading.of("Heron", TARN, datetime(2026, 9, 1, 23, 30, tzinfo=UTC))
    assert (midnight.words, midnight.by_day) == ("Heron at Tarn, 2026-09-02 00:30", None)


def test_by_day_it_is_said_when_stars_are_seen() -> None:
    noon = PlanHeading.of("Heron", TARN, datetime(2026, 9, 1, 11, 0, tzinfo=UTC))
    assert noon.words == "Heron at Tarn, 2026-09-01 12:00"
    assert (noon.by_day or "").startswith("It is too light for stars at 12:00. The first are seen from ")
