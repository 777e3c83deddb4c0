"""What a hint says at a change of the clocks is typed back, in every zone, and must be the instant that it names."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

import pytest

from obslog.club.sheets.sheet_times import SheetClock
from obslog.exchange.arrivals_rows import Fault, SheetRow
from obslog.grammar.typed_times import AmbiguousTime, ImpossibleTime, OutsideNight, read_instant_utc
from obslog.times import night_bounds_utc

FIRST, LAST = datetime(2024, 1, 1, tzinfo=UTC), datetime(2029, 1, 1, tzinfo=UTC)
A_FEW_DAYS, SECOND = timedelta(days=3), timedelta(seconds=1)
UNIVERSAL = re.compile(r"\b\d\d:\d\d(?::\d\d)?Z")


@dataclass(frozen=True, slots=True)
class Change:
    """The last second before a change of the clocks, and the offset from UTC on either side."""

    zone: str
    last: datetime
    before: timedelta
    after: timedelta

    @property
    def walls(self) -> list[datetime]:
        """The first, the middle and the last second of the local times that came twice, or never."""
        ends = sorted(
            (self.last + SECOND + offset).replace(tzinfo=None) for offset in (self.before, self.after)
        )
        return [ends[0], ends[0] + (ends[1] - ends[0]) / 2, ends[1] - SECOND]


def offset(instant: datetime, zone: ZoneInfo) -> timedelta:
    found = instant.astimezone(zone).utcoffset()
    assert found is not None
    return found


def changes_of(name: str) -> Iterator[Change]:
    zone, start = ZoneInfo(name), FIRST
    while start < LAST:
        end = start + A_FEW_DAYS
        before, after = offset(start, zone), offset(end, zone)
        if before != after:
            low, high = start, end
            while high - low > SECOND:
                middle = (low + (high - low) / 2).replace(microsecond=0)
                low, high = (middle, high) if offset(middle, zone) == before else (low, middle)
            yield Change(name, low, before, after)
        start = end


@cache
def changes() -> list[Change]:
    """One of each: many names stand for one zone."""
    alike = {
        (c.last, c.before, c.after): c for name in sorted(available_timezones()) for c in changes_of(name)
    }
    return list(alike.values())


def night_of_wall(wall: datetime) -> date:
    return (wall - timedelta(hours=12)).date()


def test_the_changes_are_those_of_the_zone_database() -> None:
    # IANA, file australasia: New Zealand's daylight time ends on the first Sunday in April at 2:45 standard time of
    # the Chathams, 3:00 daylight time, which is 14:00 UTC on the Saturday; file europe: the last Sunday in March.
    found = {(c.last + SECOND, c.after - c.before) for c in changes()}
    assert (datetime(2026, 4, 4, 14, tzinfo=UTC), timedelta(hours=-1)) in found
    assert (datetime(2026, 3, 29, 1, tzinfo=UTC), timedelta(hours=1)) in found
    assert len(found) > 100


def test_what_the_hint_says_is_read_as_the_instant_that_it_names() -> None:
    for change in changes():
        zone = ZoneInfo(change.zone)
        for wall in change.walls:
            night = night_of_wall(wall)
            expected = [(wall - offset).replace(tzinfo=UTC) for offset in (change.before, change.after)]
            kind = AmbiguousTime if change.after < change.before else ImpossibleTime
            with pytest.raises(kind) as caught:
                read_instant_utc(f"{wall:%H:%M:%S}", night, zone)
            typed = UNIVERSAL.findall(caught.value.hint)
            assert [read_instant_utc(text, night, zone) for text in typed] == expected, (change, wall)


def test_a_sheet_names_both_instants_in_full() -> None:
    for change in changes():
        for wall in change.walls:
            faults: list[Fault] = []
            row: SheetRow = {
                "line": 2, "night": f"{night_of_wall(wall)}", "site": "Here", "mount": "Heron", "role": "sync",
                "target": "Vega", "local": f"{wall:%H:%M:%S}",
            }  # fmt: skip
            SheetClock(LAST).instant_of(row, night_of_wall(wall), change.zone, faults)
            [fault] = faults
            given = re.findall(r"\d{4}-\S+Z", fault.reason)
            told = [
                SheetClock(LAST).instant_of(
                    {"line": 2, "utc": text},  # type: ignore[typeddict-item]  # the rest of the row is not read
                    night_of_wall(wall),
                    change.zone,
                    faults,
                )
                for text in given
            ]
            assert told == [(wall - offset).replace(tzinfo=UTC) for offset in (change.before, change.after)]
            assert len(faults) == 1


def test_every_minute_of_universal_time_in_the_night_of_a_change_is_read() -> None:
    for change in changes():
        zone = ZoneInfo(change.zone)
        night = night_of_wall((change.last + change.before).replace(tzinfo=None))
        start, end = night_bounds_utc(night, zone)
        for quarter in range((end - start) // timedelta(minutes=15)):
            instant = start + quarter * timedelta(minutes=15)
            read = read_instant_utc(f"{instant:%H:%M}Z", night, zone)
            # a night of 25 hours has one hour twice, at its noons: the first is read
            assert read == (instant if instant < start + timedelta(days=1) else instant - timedelta(days=1))


def test_the_proposal_for_a_slip_of_a_day_is_read_back() -> None:
    for change in changes():
        zone = ZoneInfo(change.zone)
        night = night_of_wall((change.last + change.before).replace(tzinfo=None))
        start, end = night_bounds_utc(night, zone)
        for hours in range((end - start) // timedelta(hours=1)):
            meant = start + timedelta(hours=hours)
            for slip in (-1, 1):
                said = meant + timedelta(days=slip)
                if start <= said < end:
                    continue
                with pytest.raises(OutsideNight) as caught:
                    read_instant_utc(f"{said:%Y-%m-%dT%H:%M}Z", night, zone, LAST)
                [proposed] = re.findall(r"\d{4}-\d\d-\d\dT\d\d:\d\dZ", caught.value.hint)
                assert read_instant_utc(proposed, night, zone, LAST) == meant


@pytest.mark.parametrize("wall", [time(22, 30), time(1, 0)])
def test_what_has_not_come_yet_is_not_proposed(wall: time) -> None:
    now = datetime(2026, 7, 10, 21, tzinfo=UTC)  # 22:00 by the clocks of London
    said = datetime.combine(date(2026, 7, 9 if wall.hour > 12 else 10), wall, UTC)
    with pytest.raises(OutsideNight) as caught:
        read_instant_utc(said.isoformat(), date(2026, 7, 10), ZoneInfo("Europe/London"), now)
    assert "Did you mean" not in caught.value.hint
