"""When the sky changes: the order of dusk, moonrise and dawn, and what is next."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from obslog.club.evening.night_hours import NightChange, changes_of_night, next_change
from obslog.club.register.observing_site import ObservingSite
from obslog.values import Place

GREENWICH = ObservingSite("Greenwich", Place(51.4779, 0.0, 46.0), ZoneInfo("Europe/London"))


def test_a_night_of_march_has_its_moonrise_between_dusk_and_dawn() -> None:
    """The Sun set at 17:56 on 6 March 2026 in London and twilight lasts about 1 h 50 min; the Moon was full on the 3rd,
    and so rises some hours after dusk."""
    found = changes_of_night(GREENWICH, datetime(2026, 3, 6, 21, tzinfo=UTC))
    assert [change.what for change in found] == ["dark", "moonrise", "dawn"]
    dark, moonrise, dawn = (change.at_utc for change in found)
    assert datetime(2026, 3, 6, 19, 30, tzinfo=UTC) < dark < datetime(2026, 3, 6, 20, 0, tzinfo=UTC)
    assert dark < moonrise < dawn < datetime(2026, 3, 7, 5, 0, tzinfo=UTC)


def test_in_a_summer_that_never_gets_dark_the_darkest_twilight_counts() -> None:
    far_north = ObservingSite("Tromso", Place(69.65, 18.96, 0.0), ZoneInfo("Europe/Oslo"))
    assert changes_of_night(far_north, datetime(2026, 6, 21, 22, tzinfo=UTC)) == ()
    found = changes_of_night(GREENWICH, datetime(2026, 6, 21, 22, tzinfo=UTC))
    assert found[0].what == "dark"


def test_the_next_change_is_the_first_that_is_still_to_come() -> None:
    at = [datetime(2026, 3, 2, hour, tzinfo=UTC) for hour in (19, 22, 23)]
    changes = tuple(
        NightChange(what, when) for what, when in zip(("dark", "moonrise", "dawn"), at, strict=True)
    )
    assert next_change(changes, at[0]) == changes[1]
    assert next_change(changes, at[2]) is None
