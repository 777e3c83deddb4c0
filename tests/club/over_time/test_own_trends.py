"""The club's model from records: whose the growth is, and that it is kept until anything changes."""

from datetime import timedelta

import numpy as np
from numpy.random import default_rng

from obslog.club.over_time.landing_history import mount_history
from obslog.club.over_time.own_trends import own_of_club
from obslog.club.performance.snapshot import snapshot_of
from obslog.club.register.rule_book import set_rule
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.performance.histories import NOW, Evening, drawn, fortnightly, put_on_record

NIGHTS = fortnightly(24, days=30)


def put_two_users(database: Database, careless_elsewhere: bool) -> None:
    """Heron is Ines's in its first year and Bram Ostler's, who lands 2.5 times as far out, in its second."""
    rng = default_rng(1)
    evenings = []
    for place, night in enumerate(NIGHTS):
        late = place >= 12
        half = 5.0 * (2.5 if late else 1.0)
        evenings.append(Evening(night, drawn(rng, half, 8), observer="Bram Ostler" if late else "Ines"))
        for mount in ("Bracken", "Thistle"):
            careless = careless_elsewhere and (place + (mount == "Thistle")) % 2 == 0
            who = "Bram Ostler" if careless else "Ines"
            evenings.append(
                Evening(night, drawn(rng, 5.0 * (2.5 if careless else 1.0), 8), mount=mount, observer=who)
            )
    put_on_record(database, evenings)


def test_a_careless_user_seen_elsewhere_is_not_laid_to_the_mount(club: Database) -> None:
    put_two_users(club, careless_elsewhere=True)
    history = mount_history(club, "Heron")
    assert history.as_used.verdict is Verdict.WORSENING
    assert history.verdict is Verdict.STEADY
    assert history.adjusted_for == ["observer", "season"]
    assert any(reason.startswith("as used: a factor of") for reason in history.reasons)


def test_a_careless_user_seen_nowhere_else_cannot_be_told_from_the_mount(club: Database) -> None:
    put_two_users(club, careless_elsewhere=False)
    history = mount_history(club, "Heron")
    assert history.as_used.verdict is Verdict.WORSENING
    assert history.verdict is Verdict.CANNOT_TELL
    assert "whether that is the mount or they cannot be told" in history.words
    assert any("its users changed with time" in reason for reason in history.reasons)


def test_the_rule_sets_how_rare_an_alarm_is_by_chance(club: Database) -> None:
    put_two_users(club, careless_elsewhere=True)
    after = [night + timedelta(days=1) for night in NIGHTS[-3:]]
    put_on_record(club, [Evening(night, [60.0] * 6, mount="Bracken") for night in after])
    charted = 3 * 16 + 3  # of 24 nights less the eight quiet ones; and three on which Bracken lands far out
    years = (15 * 30 + 1) / 365.25
    for a_year in (1.0, 2.0):
        set_rule(club, "alarms-a-year", a_year, NOW)
        with snapshot_of(club) as snapshot:
            alarms = [alarm for own in own_of_club(snapshot).mounts for alarm in own.alarms]
        assert {alarm.one_in for alarm in alarms} == {round(charted / years / a_year)}


def test_what_was_kept_is_what_is_computed(club: Database) -> None:
    put_two_users(club, careless_elsewhere=True)
    with snapshot_of(club) as snapshot:
        made = own_of_club(snapshot)
    with snapshot_of(club) as snapshot:
        kept = own_of_club(snapshot)
    assert kept == made
    assert len(kept.mounts) == 3
    assert all(np.isfinite(own.trend.last_log) for own in kept.mounts if own.trend)
