"""The star to sync on next: one voice with the plan, and a reason wherever it is another."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from obslog.club.aligning.star_candidates import limits_of, usual_limits
from obslog.club.aligning.sync_star_plan import StarPlan, plan_stars
from obslog.club.checklist.briefing import brief
from obslog.club.live import next_star as module
from obslog.club.live.answers import LiveKind
from obslog.club.live.answers_now import answers_now
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.register import named_records
from obslog.club.register.observing_site import observing_site
from obslog.club.sky.by_day import first_stars_utc
from obslog.club.sky.where import where_is
from obslog.offsets import read_offset_or_landing
from obslog.pointing.planning.expected_landing import ExpectedLanding
from obslog.records.database import Database
from obslog.sky.names.star_tables import all_stars
from obslog.vocabulary.arrivals import Role

DARK = datetime(2026, 11, 15, 8, 30, tzinfo=UTC)  # 21:30 in New Zealand, an hour after sunset
MOUNTS = ("Weka", "Kea", "Tui")


@pytest.fixture
def south(sqlite_database: Database) -> Database:
    """A southern club: a german mount of each kind of controller, and a fork; nothing on record."""
    site = {"zone": "Pacific/Auckland", "lat_deg": -43.0, "lon_deg": 172.6}
    named_records.add(sqlite_database, "site", "Paddock", site, DARK)
    kinds = (("german", "shift"), ("german", "model"), ("fork", "shift"))
    for name, (mount_type, controller) in zip(MOUNTS, kinds, strict=True):
        named_records.add(
            sqlite_database, "mount", name, {"mount_type": mount_type, "controller": controller}, DARK
        )
    return sqlite_database


def begun(database: Database, mount: str, at: datetime) -> Database:
    start_night(database, "Paddock", at)
    start_setup(database, mount, at)
    return database


def note(database: Database, mount: str, star: str, at: datetime, role: Role = Role.SYNC) -> None:
    entry = ArrivalEntry(target=star, where=read_offset_or_landing("3E 2N"))
    record_arrival(database, role, entry, SetupChoice(mount=mount), at, sure=True)


def words_of(database: Database, mount: str, at: datetime) -> str:
    told = answers_now(database, SetupChoice(mount=mount), at)
    return "".join(answer.words for answer in told if answer.kind is LiveKind.NEXT_STAR)


def planned(database: Database, mount: str, at: datetime) -> StarPlan:
    view = observing_site(database, "Paddock")
    return plan_stars(database, mount, None, view, at, 3, usual_limits(view))


@pytest.mark.parametrize("mount", MOUNTS)
def test_the_first_star_is_that_of_the_plan_with_its_landing(south: Database, mount: str) -> None:
    begun(south, mount, DARK)
    plan = planned(south, mount, DARK)
    said = words_of(south, mount, DARK)
    assert said.startswith(f"sync first on {plan.stars[0].name}, {plan.stars[0].alt_deg:.0f}° up in the ")
    assert said.endswith(f"land within {plan.after_each[0].half:.0f}'")
    (briefed,) = brief(south, observing_site(south, "Paddock"), DARK, [mount]).mounts
    assert [star.name for star in briefed.stars] == [star.name for star in plan.stars]


@pytest.mark.parametrize("mount", MOUNTS)
def test_a_mount_with_a_record_is_planned_for_alike(south: Database, mount: str) -> None:
    for night in range(1, 5):
        at = DARK - timedelta(days=7 * night)
        begun(south, mount, at)
        for minutes, star in enumerate(("Fomalhaut", "Achernar", "Diphda", "Ankaa", "Alnair")):
            note(
                south, mount, star, at + timedelta(minutes=4 * minutes), Role.CHECK if minutes else Role.SYNC
            )
    begun(south, mount, DARK)
    plan = planned(south, mount, DARK)
    assert words_of(south, mount, DARK).startswith(f"sync first on {plan.stars[0].name}, ")


def test_the_first_star_stays_the_same_while_the_mount_is_set_up(south: Database) -> None:
    begun(south, "Weka", DARK)
    said = {
        words_of(south, "Weka", DARK + timedelta(minutes=minutes)).split(",")[0]
        for minutes in range(0, 50, 7)
    }
    assert said == {f"sync first on {planned(south, 'Weka', DARK).stars[0].name}"}


def test_without_a_sync_the_plan_is_made_anew_by_the_hour(south: Database) -> None:
    begun(south, "Weka", DARK)
    late = DARK + timedelta(hours=3)
    star = planned(south, "Weka", late).stars[0].name
    assert star != planned(south, "Weka", DARK).stars[0].name
    said = {words_of(south, "Weka", late + timedelta(minutes=more)).split(",")[0] for more in (0, 1, 9)}
    assert said == {f"sync first on {star}"}


def test_a_star_that_sinks_too_low_before_the_first_sync_is_in_no_plan_any_more(south: Database) -> None:
    begun(south, "Weka", DARK)
    view = observing_site(south, "Paddock")
    for minutes in range(0, 240, 20):
        at = DARK + timedelta(minutes=minutes)
        star = words_of(south, "Weka", at).removeprefix("sync first on ").split(",")[0]
        assert 20 <= where_is(view, star, at).airless_alt_deg <= 85


def test_after_each_sync_the_next_star_of_the_plan_is_named_where_it_gains_a_fifth(south: Database) -> None:
    begun(south, "Kea", DARK)
    plan = planned(south, "Kea", DARK)
    first, second, _ = (star.name for star in plan.stars)
    note(south, "Kea", first, DARK)
    later = DARK + timedelta(minutes=6)
    assert words_of(south, "Kea", later).startswith(f"sync next on {second}, ")
    note(south, "Kea", second, later)
    assert plan.after_each[2].half > 0.8 * plan.after_each[1].half
    assert words_of(south, "Kea", later + timedelta(minutes=4)) == ""


def test_a_planned_star_that_was_lost_meanwhile_is_named_with_the_reason(
    south: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun(south, "Kea", DARK)
    plan = planned(south, "Kea", DARK)
    note(south, "Kea", plan.stars[0].name, DARK)
    real = usual_limits

    def behind_a_barn(view: Any) -> Any:
        """A barn that was built after the plan, where its second star stands."""
        az = plan.stars[1].az_deg
        sides = sorted(((az - 12) % 360, (az - 11) % 360, (az + 11) % 360, (az + 12) % 360))
        return replace(real(view), horizon=tuple(zip(sides, (0.0, 84.0, 84.0, 0.0), strict=True)))

    monkeypatch.setattr(module, "usual_limits", behind_a_barn)
    said = words_of(south, "Kea", DARK + timedelta(minutes=6))
    lost = plan.stars[1].name
    assert said.startswith("sync next on ")
    assert not said.startswith(f"sync next on {lost}")
    assert f"({lost}, the next of the plan, is hidden by the horizon of this site now" in said


def test_a_planned_star_beside_the_first_gives_way_to_one_that_is_worth_a_sync(
    south: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun(south, "Kea", DARK)
    note(south, "Kea", "Fomalhaut", DARK)
    monkeypatch.setattr(module, "names_left", lambda *_: ["Alnair", "Achernar"])
    monkeypatch.setattr(module, "landing_after", lambda *_: ExpectedLanding(49.0, 150.0, float("nan")))
    said = words_of(south, "Kea", DARK + timedelta(minutes=6))
    assert said.startswith("sync next on ")
    assert said.endswith(" (Alnair, the next of the plan, would hardly change that)")


@pytest.mark.parametrize(
    ("alt_deg", "words"),
    [(-0.5, "has set"), (14.6, "stands only 15° up now"), (86.0, "stands too near the zenith now"),
     (30.0, "is hidden by the horizon of this site now"), (60.0, "is too near the Moon or the Sun now")],
)  # fmt: skip
def test_why_a_star_cannot_be_synced_on_is_told(alt_deg: float, words: str) -> None:
    seen = SimpleNamespace(airless_alt_deg=np.array([alt_deg]), az_deg=np.array([100.0]))
    now: Any = SimpleNamespace(
        seen=seen, candidates=SimpleNamespace(magnitude=np.array([2.4]), shown_mag=2.5)
    )
    limits = limits_of(20.0, 85.0, 3.0, ((0.0, 0.0), (90.0, 40.0), (180.0, 40.0), (190.0, 0.0)))
    assert module._why_not(now, 0, limits) == words


def test_a_star_that_the_dawn_hides_already_is_told_as_that() -> None:
    seen = SimpleNamespace(airless_alt_deg=np.array([60.0]), az_deg=np.array([100.0]))
    now: Any = SimpleNamespace(
        seen=seen, candidates=SimpleNamespace(magnitude=np.array([2.6]), shown_mag=2.5)
    )
    assert module._why_not(now, 0, limits_of(20.0, 85.0, 3.0, ())) == "is too faint for so light a sky"


@pytest.mark.parametrize("mount", MOUNTS)
def test_at_dusk_the_plan_takes_none_but_the_brightest_stars(south: Database, mount: str) -> None:
    """Brighter than 1.6, or of the six brightest 20 to 85 degrees up, and the two that the Moon may be near."""
    view = observing_site(south, "Paddock")
    for month in range(1, 13):
        dusk = first_stars_utc(view, datetime(2026, month, 15, tzinfo=UTC))
        assert dusk is not None
        up = sorted(
            star.magnitude for star in all_stars()
            if star.magnitude <= 3.0 and star.too_close_to is None
            and 20.0 <= where_is(view, star.name, dusk).airless_alt_deg <= 85.0
        )  # fmt: skip
        faintest = max(star.magnitude for star in planned(south, mount, dusk).stars)
        assert faintest <= max(1.6, up[7]), month


def test_who_has_synced_on_a_star_of_their_own_is_not_told_of_the_plan(south: Database) -> None:
    begun(south, "Kea", DARK)
    note(south, "Kea", "Alphard", DARK)
    said = words_of(south, "Kea", DARK + timedelta(minutes=6))
    assert said.startswith("sync next on ")
    assert "plan" not in said


def test_while_it_is_light_it_is_said_from_when_stars_are_seen(south: Database) -> None:
    # In Christchurch the Sun sets on 15 November at 20:37 (NZDT), and civil dusk is half an hour later.
    afternoon, twilight = (datetime(2026, 11, 15, hour, 45, tzinfo=UTC) for hour in (4, 7))
    begun(south, "Weka", afternoon)
    for at in (afternoon, twilight):
        said = words_of(south, "Weka", at)
        assert said.startswith("from 21:"), said
        clock, rest = said[5:10], said[10:]
        assert "21:02" <= clock <= "21:15"
        (briefed,) = brief(south, observing_site(south, "Paddock"), at, ["Weka"]).mounts
        assert rest.startswith(f" on, as soon as it is dark enough, sync first on {briefed.stars[0].name}, ")


def test_after_dawn_no_star_is_named(south: Database) -> None:
    dawn, day = (datetime(2026, 11, 15, 16, 45, tzinfo=UTC) + timedelta(hours=hours) for hours in (0, 2))
    begun(south, "Weka", dawn)
    assert words_of(south, "Weka", dawn).startswith("it is hardly dark enough for stars: ")
    assert words_of(south, "Weka", day) == ""
