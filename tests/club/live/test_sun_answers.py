"""The Sun: half an hour before it rises, while it is up, and never by night."""

from datetime import UTC, datetime, timedelta

import numpy as np

from obslog.club.live.answers_now import answers_now
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import start_setup
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_places
from obslog.values import Place
from obslog.vocabulary.cautions import Danger

HERON = SetupChoice(mount="Heron")
MILL_FIELD = Place(52.2, 0.12, 20.0)


def cautions(database, now):
    return [answer.words for answer in answers_now(database, HERON, now, quiet=True)]


def sunrise() -> datetime:
    """The first minute of 3 March 2026 at which the Sun's centre is 0.83 degrees below the level, by the ephemeris."""
    minutes = [datetime(2026, 3, 3, 6, tzinfo=UTC) + timedelta(minutes=minute) for minute in range(90)]
    seen = body_places(Body.SUN, minutes, MILL_FIELD)
    return minutes[int(np.argmax(np.asarray(seen.airless_alt_deg) > -0.833))]


def test_half_an_hour_before_sunrise_the_caution_is_given_even_when_silenced(evening):
    rises = sunrise()
    (told,) = cautions(evening, rises - timedelta(minutes=20))
    assert told.startswith(f"the Sun rises at {rises:%H:}")
    minutes = int(told.split(", in ")[1].split(" ")[0])
    assert 18 <= minutes <= 22
    assert "cap tube and finder" in told


def test_by_night_nothing_and_by_day_the_caution_of_the_day(evening):
    rises = sunrise()
    assert cautions(evening, rises - timedelta(minutes=45)) == []
    assert cautions(evening, rises + timedelta(minutes=5)) == [Danger.DAYTIME]


def test_a_sync_by_day_is_told_how_near_it_was(club):
    from obslog.club.night.arrival_entries import ArrivalEntry
    from obslog.club.night.arrivals import record_arrival
    from obslog.vocabulary.arrivals import Role

    noon = datetime(2026, 3, 2, 13, tzinfo=UTC)
    start_night(club, "Mill Field", noon)
    start_setup(club, "Heron", noon, tube="Long tube")
    record_arrival(club, Role.GOTO, ArrivalEntry(target="Sun"), HERON, noon, sure=True)
    assert cautions(club, noon) == [Danger.THE_SUN]


def test_a_sunrise_is_one_and_the_same_answer_from_minute_to_minute(evening):
    rises = sunrise()
    first, later = (
        answers_now(evening, HERON, rises - timedelta(minutes=minutes), quiet=True)[0] for minutes in (25, 10)
    )
    assert (first.kind, first.about) == (later.kind, later.about)
