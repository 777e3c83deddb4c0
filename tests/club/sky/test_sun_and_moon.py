"""Evenings of both hemispheres, polar nights, and the Moon of published dates."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.sun_and_moon import sun_and_moon
from obslog.values import Place

KAROO = ObservingSite("Kestrel Ridge", Place(-32.4, 22.3, 1700.0), ZoneInfo("Africa/Johannesburg"))
FAR_NORTH = ObservingSite("Fjord's End", Place(78.22, 15.65, 10.0), ZoneInfo("Arctic/Longyearbyen"))


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_polar_night_and_midnight_sun_are_told() -> None:
    dark = sun_and_moon(FAR_NORTH, utc("2026-12-21T12:00"))
    assert (dark.sun_never_rises, dark.sun_never_sets) == (True, False)
    assert dark.twilight_utc["sunset"] is None
    bright = sun_and_moon(FAR_NORTH, utc("2026-06-21T22:00"))
    assert (bright.sun_never_rises, bright.sun_never_sets) == (False, True)
    assert bright.caution is not None  # the Sun is up at midnight


def test_southern_evenings_come_in_their_order() -> None:
    found = sun_and_moon(KAROO, utc("2026-03-02T20:00"))
    times = [
        found.twilight_utc[name] for name in ("sunset", "civil_dusk", "nautical_dusk", "astronomical_dusk")
    ]
    assert None not in times
    assert times == sorted(times)  # type: ignore[type-var]
    assert found.night == date(2026, 3, 2)
    # Full Moon on 3 March 2026 at 11:38 UTC (a total eclipse; from memory): nearly full, and full is next.
    assert found.phase.illuminated > 0.98
    name, when = found.next_phases[0]
    assert name == "full Moon"
    assert abs((when - utc("2026-03-03T11:38")).total_seconds()) < 120
