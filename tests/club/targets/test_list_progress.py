"""How far a member is with a list: what counts as done, what an entry lacks, and what comes up next month."""

from datetime import UTC, datetime, timedelta

import pytest

from obslog.club.night.nights import end_night, note_night, start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice
from obslog.club.night.setups import start_setup
from obslog.club.register import named_records
from obslog.club.register.observing_site import observing_site
from obslog.club.targets.list_progress import Incomplete, Progress, SeenObject, progress_of
from obslog.club.targets.programmes import Needed, Programme, Quota
from obslog.grammar.sky_readings import read_sky
from obslog.records.database import Database
from obslog.sky.names.object_types import ObjectType
from obslog.vocabulary.observations import Sighting

SEEN = ObservationEntry(sighting=Sighting.SEEN)
MINE = ["M 81", "M 44", "M 3", "Nobody's star"]


def rules(*needs: Needed, quotas: tuple[Quota, ...] = ()) -> Programme:
    return Programme(
        name="ours",
        title="Ours",
        listed=None,
        needs=needs,
        steps={"all": 3},
        source="the club",
        quotas=quotas,
    )


def progress(database: Database, now: datetime, programme: Programme, who: str = "Ines") -> Progress:
    return progress_of(database, who, "mine.csv", programme, now, names=MINE)


def saw(
    database: Database, now: datetime, target: str, entry: ObservationEntry = SEEN, who: str = "Ines"
) -> None:
    record_observations(database, target, entry, now, observers=[who], sure=True)


@pytest.mark.parametrize(
    ("needed", "of_all", "of_nothing"),
    [
        (Needed.PLACE, True, True),  # Mill Field has a place
        (Needed.SEEING, True, False),
        (Needed.TRANSPARENCY, True, False),
        (Needed.APERTURE, True, False),
        (Needed.FOCAL_LENGTH, True, False),
        (Needed.EYEPIECE, True, False),
        (Needed.POWER, True, False),
        (Needed.DESCRIPTION, True, False),
        (Needed.SKETCH, True, False),
    ],
)
def test_each_thing_that_a_programme_needs_is_looked_for_alone(
    sqlite_club: Database, now: datetime, needed: Needed, of_all: bool, of_nothing: bool
) -> None:
    """M 81 in an entry with everything; M 44 the night before, in one with nothing but the sighting."""
    before = now - timedelta(days=1)
    start_night(sqlite_club, "Mill Field", before)
    saw(sqlite_club, before, "M 44")
    end_night(sqlite_club, NightChoice(), before)
    start_night(
        sqlite_club, "Mill Field", now, sky=[read_sky("antoniadi 2"), read_sky("naked-eye-limit 5.5")]
    )
    start_setup(sqlite_club, "Heron", now, tube="Long tube", eyepiece="Wide 25")
    full = ObservationEntry(sighting=Sighting.SEEN, description="oval", sketch="page 2")
    saw(sqlite_club, now, "M 81", full)
    found = progress(sqlite_club, now, rules(needed))
    seen = {one.name: not one.lacks for one in (*found.done, *found.lacking)}
    assert seen == {"M 81": of_all, "M 44": of_nothing}
    assert found.to_see == ["M 3"]
    assert (found.total, found.unknown) == (3, ["Nobody's star"])


@pytest.mark.parametrize("reading", ["antoniadi 2", "pickering 7", "seeing-0-10 6"])
def test_any_scale_of_seeing_is_seeing_and_none_of_transparency(
    sqlite_club: Database, now: datetime, reading: str
) -> None:
    start_night(sqlite_club, "Mill Field", now, sky=[read_sky(reading)])
    saw(sqlite_club, now, "M 81")
    needs = rules(Needed.SEEING, Needed.TRANSPARENCY)
    assert [one.lacks for one in progress(sqlite_club, now, needs).lacking] == [[Needed.TRANSPARENCY]]
    note_night(sqlite_club, NightChoice(), now, sky=[read_sky("transparency-1-7 5")])
    assert [one.name for one in progress(sqlite_club, now, needs).done] == ["M 81"]


def test_a_site_without_a_place_gives_none(sqlite_club: Database, now: datetime) -> None:
    named_records.add(sqlite_club, "site", "Somewhere", {"zone": "Europe/London", "lat_deg": 52.0}, now)
    start_night(sqlite_club, "Somewhere", now)
    saw(sqlite_club, now, "M 81")
    assert [one.lacks for one in progress(sqlite_club, now, rules(Needed.PLACE)).lacking] == [[Needed.PLACE]]


def test_of_several_entries_the_one_that_lacks_least_counts_and_of_equals_the_first(
    sqlite_club: Database, now: datetime
) -> None:
    needs = rules(Needed.DESCRIPTION, Needed.SKETCH)
    entries = (
        (0, SEEN),
        (1, ObservationEntry(sighting=Sighting.SEEN, description="oval")),
        (2, ObservationEntry(sighting=Sighting.SEEN, sketch="page 2")),
        (3, SEEN),
    )
    for days, entry in entries:
        then = now - timedelta(days=4 - days)
        start_night(sqlite_club, "Mill Field", then)
        saw(sqlite_club, then, "M 81", entry)
    found = progress(sqlite_club, now, needs)
    assert found.lacking == [SeenObject("M 81", now.date() - timedelta(days=3), [Needed.SKETCH])]
    assert found.incomplete == [Incomplete([Needed.SKETCH], 1, "seen, but the entry has no sketch")]


def test_suspected_or_missed_or_seen_by_another_is_still_to_see(sqlite_club: Database, now: datetime) -> None:
    start_night(sqlite_club, "Mill Field", now)
    saw(sqlite_club, now, "M 81", ObservationEntry(sighting=Sighting.SUSPECTED))
    saw(sqlite_club, now, "M 44", ObservationEntry(sighting=Sighting.NOT_SEEN))
    saw(sqlite_club, now, "M 3", who="Bram Ostler")
    saw(sqlite_club, now, "M 82")  # on nobody's list
    assert progress(sqlite_club, now, rules()).to_see == ["M 81", "M 44", "M 3"]
    assert [one.name for one in progress(sqlite_club, now, rules(), "bram ostler").done] == ["M 3"]


def test_what_is_lacking_is_counted_by_what_it_is_the_most_first(
    sqlite_club: Database, now: datetime
) -> None:
    start_night(sqlite_club, "Mill Field", now)
    saw(sqlite_club, now, "M 81", ObservationEntry(sighting=Sighting.SEEN, magnification=40.0))
    for name in ("M 44", "M 3"):
        saw(sqlite_club, now, name, ObservationEntry(sighting=Sighting.SEEN, description="a swarm"))
    found = progress(sqlite_club, now, rules(Needed.POWER, Needed.DESCRIPTION))
    assert [(one.count, one.words) for one in found.incomplete] == [
        (2, "seen, but the entry has no magnification"),
        (1, "seen, but the entry has no description"),
    ]


def test_a_quota_counts_what_is_done_of_its_kinds(sqlite_club: Database, now: datetime) -> None:
    """M 81 is a galaxy, M 44 an open cluster, M 3 a globular cluster; M 44 lacks its description."""
    start_night(sqlite_club, "Mill Field", now)
    told = ObservationEntry(sighting=Sighting.SEEN, description="bright")
    for name, entry in (("M 81", told), ("M 3", told), ("M 44", SEEN)):
        saw(sqlite_club, now, name, entry)
    quotas = (
        Quota("galaxies", frozenset((ObjectType.GALAXY,)), 5),
        Quota("clusters", frozenset((ObjectType.OPEN_CLUSTER, ObjectType.GLOBULAR_CLUSTER)), 2),
    )
    found = progress(sqlite_club, now, rules(Needed.DESCRIPTION, quotas=quotas))
    assert [(quota.what, quota.done, quota.number) for quota in found.quotas] == [
        ("galaxies", 1, 5),
        ("clusters", 1, 2),
    ]


def test_what_comes_up_is_of_the_middle_of_next_month_the_longest_first(
    sqlite_club: Database, now: datetime
) -> None:
    """From Mill Field, 52 N, in mid-April: M 81 at dec +69 never sets, M 44 at dec +20 is past the meridian at dusk,
    and M 3 at dec +28 culminates at 90 - 52.2 + 28.4 = 66 deg within the night."""
    view = observing_site(sqlite_club, "Mill Field")
    found = progress_of(sqlite_club, "Ines", "mine.csv", rules(), now, names=MINE, view=view)
    assert found.next_month == "2026-04"
    assert found.up_next is not None
    up = {one.name: one for one in found.up_next}
    assert set(up) == {"M 81", "M 44", "M 3"}
    assert [one.hours for one in found.up_next] == sorted((one.hours for one in found.up_next), reverse=True)
    assert all(round(one.hours, 1) == one.hours for one in found.up_next)
    assert up["M 3"].best_alt_deg == pytest.approx(90 - 52.2 + 28.4, abs=0.2)
    assert up["M 44"].hours < 5 < up["M 81"].hours < 8  # of 7 hours and a half between the twilights
    start_night(sqlite_club, "Mill Field", now)
    saw(sqlite_club, now, "M 81")
    again = progress_of(sqlite_club, "Ines", "mine.csv", rules(), now, names=MINE, view=view)
    assert again.up_next is not None
    assert {one.name for one in again.up_next} == {"M 44", "M 3"}


@pytest.mark.parametrize(
    ("now", "month"),
    [
        (datetime(2026, 1, 31, 22, tzinfo=UTC), "2026-02"),
        (datetime(2026, 2, 1, 0, 30, tzinfo=UTC), "2026-03"),
        (datetime(2026, 12, 1, 22, tzinfo=UTC), "2027-01"),
        (datetime(2026, 3, 31, 23, 30, tzinfo=UTC), "2026-05"),  # it is 1 April by the clocks of London
    ],
)
def test_next_month_is_by_the_sites_own_calendar(sqlite_club: Database, now: datetime, month: str) -> None:
    view = observing_site(sqlite_club, "Mill Field")
    found = progress_of(sqlite_club, "Ines", "mine.csv", rules(), now, names=["M 81"], view=view)
    assert found.next_month == month


def test_where_next_months_nights_are_light_nothing_comes_up(sqlite_club: Database) -> None:
    named_records.add(
        sqlite_club,
        "site",
        "North Cape",
        {"lat_deg": 71.2, "lon_deg": 25.8, "zone": "Europe/Oslo"},
        datetime(2026, 5, 20, tzinfo=UTC),
    )
    view = observing_site(sqlite_club, "North Cape")
    found = progress_of(
        sqlite_club, "Ines", "x", rules(), datetime(2026, 5, 20, tzinfo=UTC), names=MINE, view=view
    )
    assert (found.next_month, found.up_next) == ("2026-06", [])


def test_without_a_site_nothing_is_said_of_next_month(sqlite_club: Database, now: datetime) -> None:
    found = progress(sqlite_club, now, rules())
    assert (found.next_month, found.up_next) == (None, None)
    assert found.source == "the club"
    assert found.steps == {"all": 3}
