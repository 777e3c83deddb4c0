"""What is said to somebody whose reading of the sky cannot be read, or whose night has not come."""

from datetime import date, datetime

import pytest

from obslog.club.night.nights import UnreadableSky, read_sky, start_night
from obslog.records.opening import Database
from obslog.times import FutureTime


def test_a_misspelt_scale_is_answered_with_the_nearest_and_no_words_with_all() -> None:
    with pytest.raises(UnreadableSky) as caught:
        read_sky("antonadi 2")
    assert "Scales: antoniadi." in caught.value.hint
    with pytest.raises(UnreadableSky) as caught:
        read_sky("zzzz 2")
    assert all(scale in caught.value.hint for scale in ("antoniadi", "pickering", "bortle", "sky-meter"))


@pytest.mark.parametrize(
    ("number", "fitting", "not_fitting"),
    [
        ("5", ["antoniadi", "pickering", "bortle"], []),  # the last step of Antoniadi's scale
        ("1", ["antoniadi", "pickering", "bortle"], []),  # the first of all of them
        ("9", ["pickering", "bortle"], ["antoniadi"]),
        ("10", ["pickering"], ["antoniadi", "bortle"]),
    ],
)
def test_a_number_without_a_scale_is_answered_with_those_that_have_it(
    number: str, fitting: list[str], not_fitting: list[str]
) -> None:
    with pytest.raises(UnreadableSky, match=f"{number} has no scale") as caught:
        read_sky(number)
    listed = caught.value.hint.split("one of: ")[1]
    assert all(f"{scale} (" in listed for scale in fitting)
    assert not any(f"{scale} (" in listed for scale in not_fitting)


def test_a_night_to_come_is_refused_with_the_noon_at_which_it_begins(club: Database, now: datetime) -> None:
    with pytest.raises(FutureTime, match="2026-03-05 12:00 UTC has not come yet"):
        start_night(club, "Mill Field", now, night=date(2026, 3, 5))
