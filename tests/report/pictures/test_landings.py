"""Landing errors over the months: what is drawn, what the table holds and the words say, of records made by hand."""

from datetime import date
from uuid import UUID
from xml.etree import ElementTree

import pytest

from obslog.club.over_time.landing_history import AsUsed, MountHistory, Serviced, SetupHistory
from obslog.club.over_time.own_trends import AlarmNight
from obslog.report.pictures.drawing import drawn, inline_svg
from obslog.report.pictures.landings import landings_picture
from obslog.trends.series.theil_sen import Verdict
from obslog.values import Interval, SetupId


def setup_of(day: date, half: Interval | None) -> SetupHistory:
    key = SetupId(key=UUID(int=day.toordinal()), night=day, setup=1, site="Mill Field", mount="Heron")
    return SetupHistory(
        setup=key, arrivals=6, told_in_words=0, half_arcmin=half, rms_arcmin=None, median_arcmin=None
    )


def history_of(setups: list[SetupHistory], **changed: object) -> MountHistory:
    given: dict[str, object] = {"alarms": [], "services": [], **changed}
    return MountHistory(
        mount="Heron",
        setups=setups,
        slope=None,
        verdict=Verdict.TOO_FEW,
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
